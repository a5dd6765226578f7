// One pitcher: her bullpens and the way they go, whether her pitch can be trusted, how
// much she threw; what she is set to comes last.
import type { ComponentChildren } from "preact";
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { listen } from "../api/events";
import type { LoadDay, PitcherPage, Trend } from "../api/types";
import { Consents } from "../links/consent";
import { usePitchTypes } from "../api/use-pitch-types";
import { capital } from "../bullpen/said";
import { useIntake } from "../intake/drop";
import { useNarrow } from "../parts/use-narrow";
import { BodyWeeks } from "../pictures/body-weeks";
import { BullpenItem, factsOf } from "../pictures/bullpen-card";
import { SmallTarget } from "../pictures/small-target";
import { Trail } from "../pictures/trail";
import { WeeksPicture } from "../pictures/weeks-picture";
import { RepList } from "../reps/screen";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName } from "../words/workout";
import { dayText } from "../words/speed";
import { Another } from "./another";
import { Bands } from "./bands";
import { MovesWeeks } from "./moves-weeks";
import { PitcherSettings } from "./settings";
import { inUnit, slopeText } from "./slope";
import { Trust } from "./trust";

export function PitcherScreen({ id }: { id: string }) {
  const { page, problem, refresh } = usePitcher(id);
  const types = usePitchTypes();
  const intake = useIntake();
  const [reps, setReps] = useState(false);
  /** So many bullpens stand as cards, the others as lines. */
  const shownBullpens = useNarrow() ? 2 : 4;
  if (!page) return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">Opening …</p>;
  const p = page.pitcher;
  const told = page.trends.filter((t) => t.pitch !== p.baselinePitch);
  const latest = page.bullpens.find((b) => b.headline);
  const lone = page.bullpens.find((b) => b.target);
  return (
    <>
      <header class="heading">
        <h1>{p.label}</h1>
        {latest && <p class="headline"><Link to={to.bullpen(latest.id)}>{latest.headline}</Link></p>}
        <p class="quiet"><Link to={to.levels} aria-label={`Level ${p.level}: its distance, ball and bands`}>{p.level}</Link>, throws {p.hand}-handed, {p.distanceFeet} ft, {p.ballKind} ball</p>
        <div class="row"><button type="button" class="button primary" onClick={() => intake.newBullpen(id)}>New bullpen</button></div>
      </header>
      <div class="so-far">
        <div>
          {lone && !told.some(many) && <div class="lone"><SmallTarget target={lone.target!} /></div>}
          {told.filter(many).map((t) => (
            <section key={t.pitch} aria-label={`Trail of the ${t.pitchName}`}>
              <h2>{capital(t.pitchName)}, bullpen by bullpen</h2>
              <Trail points={t.points} pitch={t.pitch} pitchName={t.pitchName} unit={p.unit} baseline={pitchName(types, p.baselinePitch)} onPick={(b) => navigate(to.bullpen(b))} />
            </section>
          ))}
        </div>
        <Trust pitcherId={id} types={types} revision={page} />
      </div>
      <section aria-labelledby="pens">
        <h2 id="pens">Bullpens</h2>
        <ul class="cards bullpens">{page.bullpens.slice(0, shownBullpens).map((b) => <BullpenItem key={b.id} card={b} near={page.today} named={false} />)}</ul>
        {page.bullpens.length > shownBullpens && (
          <details class="depth"><summary>{page.bullpens.length - shownBullpens} earlier</summary>
            <ul class="earlier">{page.bullpens.slice(shownBullpens).map((b) => <li key={b.id}><Link to={to.bullpen(b.id)}>{dayText(b.day)}</Link> <span class="quiet">{b.headline || factsOf(b)}</span></li>)}</ul>
          </details>
        )}
        {page.bullpens.length === 0 && <p class="quiet">None yet.</p>}
      </section>
      {page.trends.some(many) && (
        <Fold title="Over the weeks, in numbers">
          {page.trends.filter(many).map((t) => <TrendView key={t.pitch} trend={t} page={page} types={types} />)}
        </Fold>
      )}
      {page.bullpens.some((b) => b.films > 0) && <MovesWeeks pitcherId={id} baseline={p.baselinePitch} revision={page} types={types} />}
      <Fold title="How much she threw"><Load days={page.load} caution={page.caution} /></Fold>
      <Fold title="All her reps">
        {reps ? <RepList wanted={{ pitcher: id, pitch: "", from: "", to: "", verdict: "" }} /> : (
          <div class="row">
            <button type="button" class="button" onClick={() => setReps(true)}>Show them</button>
            <a class="button" href={`/api/pitchers/${id}/reps.csv`} download>As CSV</a>
            <a class="button" href={`/api/pitchers/${id}/reps.json`} download>As JSON</a>
          </div>
        )}
      </Fold>
      <Fold title="Guardian’s consent"><Consents pitcherId={id} /></Fold>
      <Another pitcher={p} />
      <Fold title="Bands and settings" open={location.hash === "#distance"}>
        <Bands page={page} types={types} onSaved={refresh} />
        <PitcherSettings page={page} types={types} onSaved={refresh} />
      </Fold>
    </>
  );
}

/** A chart with one dot tells nothing. */
const many = (t: Trend) => t.points.length > 1;

/** What is looked for now and then. */
function Fold({ title, open = false, children }: { title: string; open?: boolean; children: ComponentChildren }) {
  return <details class="fold" open={open}><summary>{title}</summary><div class="folded">{children}</div></details>;
}

function usePitcher(id: string) {
  const [page, setPage] = useState<PitcherPage>();
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    ask("get", "/api/pitchers/{id}", { path: { id } }).then((fresh) => {
      setPage(fresh);
      setProblem("");
    }, (failure) => setProblem(sentenceOf(failure)));
  }, [id]);
  useEffect(() => {
    setPage(undefined);
    refresh();
    return listen("again", refresh);
  }, [refresh]);
  return { page, problem, refresh };
}

function TrendView({ trend, page, types }: { trend: Trend; page: PitcherPage; types: ReturnType<typeof usePitchTypes> }) {
  const unit = page.pitcher.unit;
  const base = page.pitcher.baselinePitch;
  return (
    <article class="trend">
      <h3>{capital(trend.pitchName)}</h3>
      <div class="trend-pictures">
        <WeeksPicture points={trend.points} pitch={trend.pitch} pitchName={trend.pitchName} unit={unit} followed={trend.pitch === base ? "reading" : "gap"} {...(trend.baselineGun ? { gun: trend.baselineGun } : {})} onPick={(b) => navigate(to.bullpen(b))} />
        <BodyWeeks points={trend.points} pitch={trend.pitch} pitchName={trend.pitchName} onPick={(b) => navigate(to.bullpen(b))} />
      </div>
      {trend.placesSaid && trend.pitch === base && <p class="notice">{trend.placesSaid}</p>}
      <ul class="slopes">
        {trend.gap && <li>{slopeText("The gap", inUnit(trend.gap, unit), unit)}</li>}
        {trend.sd && <li>{slopeText("The spread", inUnit(trend.sd, unit), unit)}</li>}
        {trend.share && <li>{slopeText("The share in the band", trend.share, "%")}</li>}
        {trend.body && <li>{slopeText("The body speed (legs)", trend.body, "points")}</li>}
        {trend.baseline && <li>{slopeText(`The ${pitchName(types, base)}`, inUnit(trend.baseline, unit), unit)}{trend.placesSaid && trend.pitch !== base && " Counted from one place of the gun only."}</li>}
      </ul>
    </article>
  );
}

function Load({ days, caution }: { days: LoadDay[]; caution: string }) {
  const shown = days.slice(-14).reverse();
  return (
    <>
      <p class="notice">{caution}</p>
      {shown.length === 0 ? <p class="quiet">Nothing thrown yet.</p> : (
        <div class="scroll" tabIndex={0} role="region" aria-label="Load by day">
          <table class="ledger-table">
            <thead><tr><th scope="col">day</th><th scope="col">reps</th><th scope="col">of them warm-up</th><th scope="col">in 7 days</th><th scope="col">days in a row</th><th scope="col">beside published guidance</th></tr></thead>
            <tbody>
              {shown.map((d) => (
                <tr key={d.day}>
                  <th scope="row">{dayText(d.day)}</th><td>{d.reps}</td><td>{d.warmUp}</td><td>{d.sevenDays}</td><td>{d.daysInARow}</td>
                  <td class="guidance">{d.notes.length === 0 && <span class="quiet">nothing to note</span>}{d.notes.map((n) => <p key={n.text}>{n.text} <span class="quiet">({n.source})</span></p>)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}
