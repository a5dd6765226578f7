// One pitcher: can her pitch be trusted, how it went over the weeks, what she is
// set to, how much she threw.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { listen } from "../api/events";
import type { LoadDay, PitcherPage, Trend } from "../api/types";
import { Consents } from "../links/consent";
import { usePitchTypes } from "../api/use-pitch-types";
import { capital } from "../bullpen/said";
import { useIntake } from "../intake/drop";
import { BodyWeeks } from "../pictures/body-weeks";
import { WeeksPicture } from "../pictures/weeks-picture";
import { RepList } from "../reps/screen";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName } from "../workouts/said";
import { dayText } from "../words/speed";
import { Bands } from "./bands";
import { PitcherSettings } from "./settings";
import { inUnit, slopeText } from "./slope";
import { Trust } from "./trust";

export function PitcherScreen({ id }: { id: string }) {
  const { page, problem, refresh } = usePitcher(id);
  const types = usePitchTypes();
  const intake = useIntake();
  const [reps, setReps] = useState(false);
  if (!page) return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">Opening …</p>;
  const p = page.pitcher;
  return (
    <>
      <header class="heading">
        <h1>{p.label}</h1>
        <p class="quiet">{p.level}, throws {p.hand}-handed, {p.distanceFeet} ft, {p.ballKind} ball</p>
        <div class="row"><button type="button" class="button primary" onClick={() => intake.newBullpen(id)}>New bullpen</button>
          <a class="button" href={`/api/pitchers/${id}/reps.csv`} download>All reps as CSV</a>
          <a class="button" href={`/api/pitchers/${id}/reps.json`} download>All reps as JSON</a>
        </div>
      </header>
      <Trust pitcherId={id} types={types} revision={page} />
      <section aria-labelledby="weeks">
        <h2 id="weeks">Over the weeks</h2>
        {page.trends.length === 0 && <p class="quiet">After the first bullpen with a baseline and an off-speed pitch, her weeks stand here.</p>}
        {page.trends.map((t) => <TrendView key={t.pitch} trend={t} page={page} types={types} />)}
      </section>
      <Bands page={page} types={types} onSaved={refresh} />
      <PitcherSettings page={page} types={types} onSaved={refresh} />
      <Consents pitcherId={id} />
      <Load days={page.load} caution={page.caution} />
      <section aria-labelledby="pens">
        <h2 id="pens">Bullpens</h2>
        <ul class="cards">
          {page.bullpens.map((b) => (
            <li key={b.id} class="card item"><h3><Link to={to.bullpen(b.id)}>{dayText(b.day)}</Link></h3>{b.title && <p>{b.title}</p>}<p class="quiet">{b.reps} {b.reps === 1 ? "rep" : "reps"}</p></li>
          ))}
        </ul>
        {page.bullpens.length === 0 && <p class="quiet">None yet.</p>}
      </section>
      <section aria-labelledby="all-reps">
        <h2 id="all-reps">All her reps</h2>
        {reps ? <RepList wanted={{ pitcher: id, pitch: "", from: "", to: "", verdict: "" }} /> : <div><button type="button" class="button" onClick={() => setReps(true)}>Show them</button></div>}
      </section>
    </>
  );
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
    <section aria-labelledby="load">
      <h2 id="load">Load</h2>
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
    </section>
  );
}
