// One bullpen: what it says, every rep as a picture and as a table, the shelf.
import { useMemo, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { PitchType, Rep, Sheet, Unit } from "../api/types";
import { usePitchTypes } from "../api/use-pitch-types";
import { useSheet } from "../api/use-sheet";
import { FromField } from "../fence/from-field";
import { useFieldLink } from "../fence/link";
import { PickFilms } from "../intake/drop";
import { DeliverySheet } from "../parts/delivery-sheet";
import { Fold } from "../parts/fold";
import { Menu } from "../parts/menu";
import { FilmSpeedAside } from "../parts/film-speed";
import { Judgement, VerdictMark } from "../parts/verdict";
import { BodyPicture } from "../pictures/body-picture";
import { BullpenPicture } from "../pictures/bullpen-picture";
import { Target } from "../pictures/target";
import { Why } from "../pictures/why";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { say as announce } from "../shell/say";
import { baselineIs } from "../words/baseline";
import { inSetText } from "../words/place";
import { dayText, gapText, percentText, rangeText, speedText } from "../words/speed";
import { BodyDepth, BodyVerdict, checkOf, paced, repsOf, unreadChecks } from "./body";
import { SureMark } from "../parts/sure-mark";
import { askedOf } from "../parts/sure";
import { Doubted, doubtedIn } from "./doubted";
import { HowSheMoves } from "./moves";
import { foremostOf, stepOf } from "./next";
import { HandOutOffer, Offer } from "./offer";
import { BullpenSettings } from "./settings";
import { baselines, capital, offSpeed, say, titleOf } from "./said";
import { ShareDialog } from "./share-dialog";
import { Shelf } from "./shelf";
import { WhatGivesItAway } from "./tells";
import { pitchName } from "../words/workout";

export function BullpenScreen({ bullpenId }: { bullpenId: string }) {
  const { sheet, problem, refresh } = useSheet(bullpenId);
  const types = usePitchTypes();
  if (!sheet) {
    return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">Opening the bullpen …</p>;
  }
  const unit = sheet.pitcher.unit;
  return (
    <>
      <Heading sheet={sheet} refresh={refresh} />
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <FromField bullpenId={bullpenId} revision={sheet.revision} types={types} refresh={refresh} />
      <Waiting sheet={sheet} />
      {sheet.reps.length === 0 ? <Empty sheet={sheet} /> : (
        <>
          <Findings sheet={sheet} unit={unit} types={types} />
          <DeliverySheet bullpenId={bullpenId} revision={sheet.revision} />
          <HowSheMoves sheet={sheet} />
          <WhatGivesItAway sheet={sheet} types={types} />
          <details class="depth">
            <summary>Every rep, in the order thrown</summary>
            <BullpenPicture
              reps={sheet.reps}
              summaries={sheet.summaries}
              pitchTypes={types}
              unit={unit}
              onPick={(rep) => rep.filmId && navigate(to.filmRoom(bullpenId, rep.id))}
            />
            <BodyOfReps sheet={sheet} types={types} />
          </details>
          <Ledger sheet={sheet} unit={unit} />
          <Shelf sheet={sheet} refresh={refresh} />
        </>
      )}
    </>
  );
}

/** Who and when, what it says, and the one thing to do next. */
function Heading({ sheet, refresh }: { sheet: Sheet; refresh: () => void }) {
  const [open, setOpen] = useState(false);
  const [sharing, setSharing] = useState(false);
  const b = sheet.bullpen;
  const field = useFieldLink({ bullpenId: b.id, whose: sheet.pitcher.label });
  const step = stepOf(sheet);
  const lead = foremostOf(sheet);
  const several = offSpeed(sheet.summaries, sheet.pitcher.baselinePitch).length > 1;
  const dismiss = (id: string) => ask("delete", "/api/films/{id}", { path: { id } }).then(refresh, (failure: unknown) => announce(sentenceOf(failure), true));
  return (
    <header class="heading">
      <p class="over"><Link to={to.pitcher(sheet.pitcher.id)}>{sheet.pitcher.label}</Link>, {dayText(b.day)}{b.title && sheet.headline && `, ${b.title}`}</p>
      <h1 class="headline">{sheet.headline || b.title || "Bullpen"}</h1>
      {lead?.next && <p class="next"><b>Next{several && `, ${lead.pitchName}`}:</b> {lead.next}</p>}
      <div class="row">
        {step === "log reps" && <Link class="button primary" to={to.filmRoom(b.id)}>Log the reps in the film room</Link>}
        {step === "settle" && <Link class="button primary" to={to.filmRoom(b.id)}>Settle it in the film room</Link>}
        {step === "hand out" && <HandOutOffer sheet={sheet} named />}
        {step === "share" && <button type="button" class="button primary" onClick={() => setSharing(true)}>Share with her and her parents</button>}
        {step !== "log reps" && step !== "settle" && <Link class="button" to={to.filmRoom(b.id)}>Film room</Link>}
        {sheet.reps.length > 0
          ? <Link class="button" to={to.report(b.id)}>Report</Link>
          : <button type="button" class="button" onClick={field.make}>Readings by phone</button>}
        <Menu>
          <div>
            {sheet.reps.length > 0 && step !== "share" && <button type="button" class="button" onClick={() => setSharing(true)}>Share with her and her parents</button>}
            {sheet.reps.length > 0 && <button type="button" class="button" onClick={field.make}>Readings by phone</button>}
            <button type="button" class="button" onClick={() => setOpen(true)}>Settings of this bullpen</button>
            <Link class="button" to={to.levels}>Levels and their bands</Link>
          </div>
        </Menu>
      </div>
      {field.shown}
      {open && <BullpenSettings sheet={sheet} onClose={() => setOpen(false)} onSaved={refresh} />}
      {sharing && <ShareDialog sheet={sheet} onClose={() => setSharing(false)} />}
      {b.note && <p class="note">{b.note}</p>}
      {sheet.films.filter((f) => f.state !== "ready").map((f) => (
        <p key={f.id} class={`notice${f.state === "refused" ? " alarm" : ""}`}>
          <b>{f.name}</b>: {f.state === "refused" ? f.refusal : f.progress !== undefined ? `${f.steppable ? "can be stepped and marked already; still " : ""}being read, ${percentText(f.progress)}${f.waits ? `. ${f.waits}` : ""}` : "waiting to be read"}
          {f.state === "refused" && <button type="button" class="button" onClick={() => dismiss(f.id)}>Dismiss</button>}
          {f.state === "reading" && f.progress !== undefined && <progress class="bar-of-progress" aria-label={`Reading ${f.name}`} value={f.progress} />}
        </p>
      ))}
    </header>
  );
}

/** What counts in nothing until somebody sees to it. */
function Waiting({ sheet }: { sheet: Sheet }) {
  if (sheet.waiting.length === 0) return null;
  return (
    <div class="notice waiting">
      {sheet.waiting.map((sentence) => <p key={sentence}>{sentence}</p>)}
    </div>
  );
}

function Empty({ sheet }: { sheet: Sheet }) {
  return (
    <section class="card">
      <h2>No reps yet</h2>
      {sheet.films.length === 0
        ? <><p>Drop her phone films anywhere on this page, or choose them here: one long film or one per pitch.</p><PickFilms primary>Choose films</PickFilms></>
        : <p>Open the film room, step to the frame where the ball leaves the hand, and press <kbd>M</kbd>. The reading and the pitch come next.</p>}
    </section>
  );
}

/** The answer first: for each off-speed pitch how far under the fastball it was, and
    whether the body slowed down. */
function Findings({ sheet, unit, types }: { sheet: Sheet; unit: Unit; types: PitchType[] }) {
  const judged = offSpeed(sheet.summaries, sheet.pitcher.baselinePitch);
  const base = baselines(sheet.summaries, sheet.pitcher.baselinePitch);
  const baseName = pitchName(types, sheet.pitcher.baselinePitch);
  const gunMatters = new Set(sheet.summaries.map((s) => s.gun)).size > 1;
  const unread = unreadChecks(sheet, judged);
  const lead = foremostOf(sheet);
  return (
    <section aria-label="What it says">
      {judged.map((s) => {
        const said = say(s, unit, gunMatters, baseName);
        const check = checkOf(sheet, s);
        return (
          <article key={said.key} class="card pitch-answer" aria-label={said.title}>
            <h2>{said.title}</h2>
            <div class="both">
              <div class="on-target">
                <Target reps={repsOf(sheet, s)} summary={s} check={check} unit={unit} baseline={baseName} onPick={(rep) => rep.filmId && navigate(to.filmRoom(sheet.bullpen.id, rep.id))} />
              </div>
              <div class="answers">
                {said.gap
                  ? <p class="gap"><strong>{said.under}</strong> <VerdictMark verdict={said.verdict} edgeOf={said.edgeOf} soFar={said.soFar} /></p>
                  : <p class="gap pending">Gap pending</p>}
                {check && <BodyVerdict check={check} />}
                <Doubted sheet={sheet} reps={doubtedIn(sheet, s)} unit={unit} />
                {s !== lead && s.next && <p><b>Next:</b> {s.next}</p>}
                {s.then && <p><b>Then:</b> {s.then}</p>}
              </div>
            </div>
            {s.moment && (
              <details class="depth">
                <summary>Why ten?</summary>
                <Why moment={s.moment} pitch={s.pitch} unit={unit} />
              </details>
            )}
            <details class="depth">
              <summary>How sure is this?</summary>
              <div class="both">
                <div class="more">
                  <h3>How far under the {baseName}?</h3>
                  {[...said.about, ...said.lines].map((line) => <p key={line} class="quiet">{line}</p>)}
                </div>
                {check && <BodyDepth sheet={sheet} check={check} unit={unit} baseline={baseName} />}
              </div>
            </details>
          </article>
        );
      })}
      <Offer sheet={sheet} />
      {unread.map((c) => (
        <article key={`${c.pitch} ${c.drill}`} class="card pitch-answer" aria-label={capital(c.pitchName)}>
          <h2>{capital(c.pitchName)}{c.drill && ` in ${c.drill}`}</h2>
          <BodyVerdict check={c} />
          {c.next && <p><b>Next:</b> {c.next}</p>}
          <details class="depth"><summary>How sure is this?</summary><BodyDepth sheet={sheet} check={c} unit={unit} baseline={baseName} /></details>
        </article>
      ))}
      {base.map((s) => (
        <div key={`${s.pitch} ${s.drill} ${s.gun}`}>
          <details class="depth baseline-said">
            <summary>Counted from her {titleOf(s, gunMatters).toLowerCase()}{s.baseline ? `: ${speedText(s.baseline.speed, unit)}` : ""}</summary>
            <p>{s.baseline && `The baseline is ${baselineIs(s.baseline, baseName)}: `}{s.n === 1 ? "one reading" : `${s.n} readings from ${rangeText(s.range, unit)}`}{s.sd ? `, spread ${speedText(s.sd, unit)} from rep to rep` : ""}.</p>
          </details>
          <Doubted sheet={sheet} reps={doubtedIn(sheet, s)} unit={unit} />
        </div>
      ))}
      {judged.length === 0 && base.length === 0 && <p class="quiet">Type some readings in the film room, fastballs and change-ups from the same gun place, and the gap stands here.</p>}
    </section>
  );
}

function BodyOfReps({ sheet, types }: { sheet: Sheet; types: PitchType[] }) {
  const reps = useMemo(() => paced(sheet.reps), [sheet]);
  if (reps.length === 0) return null;
  const own = sheet.body.checks.find((c) => c.own && !c.drill)?.own;
  return (
    <section aria-labelledby="every-body">
      <h2 id="every-body">Body speed, rep by rep</h2>
      <p class="quiet">How fast her legs went, from drive (the stride foot leaves) to plant (the front foot lands), in per cent of her own fastballs.</p>
      <BodyPicture reps={reps} pitchTypes={types} {...(own ? { spread: own } : {})} onPick={(id) => navigate(to.filmRoom(sheet.bullpen.id, id))} />
    </section>
  );
}

function Ledger({ sheet, unit }: { sheet: Sheet; unit: Unit }) {
  const rows = sheet.reps;
  const body = rows.some((r) => r.body?.short);
  return (
    <Fold title="Ledger" id="ledger">
      <div class="scroll" tabIndex={0} role="region" aria-label="Ledger table">
        <table class="ledger-table stacked" role="table">
          <thead role="rowgroup">
            <tr role="row">
              {["rep", "pitch", "reading", "gap", ...(body ? ["body"] : []), "look"].map((name) => <th key={name} scope="col" role="columnheader">{name}</th>)}
            </tr>
          </thead>
          <tbody role="rowgroup">
            {rows.map((r) => <Row key={r.id} rep={r} unit={unit} body={body} bullpenId={sheet.bullpen.id} baselinePitch={sheet.pitcher.baselinePitch} />)}
          </tbody>
        </table>
      </div>
      <div class="row">
        <a class="button" href={`/api/bullpens/${sheet.bullpen.id}/reps.csv`} download>Reps as CSV</a>
        <a class="button" href={`/api/bullpens/${sheet.bullpen.id}/reps.json`} download>Reps as JSON</a>
      </div>
    </Fold>
  );
}

function Row({ rep: r, unit, body, bullpenId, baselinePitch }: { rep: Rep; unit: Unit; body: boolean; bullpenId: string; baselinePitch: string }) {
  const where = [r.drill || "full pitch", inSetText(r.set, r.number), r.call].filter(Boolean).join(", ");
  return (
    <tr role="row" class={r.warmUp ? "warm-up" : ""}>
      <th scope="row" role="rowheader" class="of-rep">{r.order}</th>
      <td role="cell" class="of-pitch">{r.pitchName}{r.warmUp && " (warm-up)"}<span class="where">{where}</span></td>
      <td role="cell" class="of-reading">{r.judged.speed ? speedText(r.judged.speed, unit) : "–"}{" "}<SureMark asked={askedOf(r)} /><FilmSpeedAside said={r.filmSpeed} unit={unit} asked={askedOf(r)} />{r.filmSpeed?.note && <span class="film-doubt">{r.filmSpeed.note}</span>}</td>
      <td role="cell" class="gap-and-verdict">
        {r.judged.gap && r.pitch !== baselinePitch && <span>{gapText(r.judged.gap, unit, true, r.judged.onEdge)}</span>}{" "}
        {(r.judged.verdict !== "" || r.pitch !== baselinePitch) && <Judgement judged={r.judged} />}
      </td>
      {body && <td role="cell" class={`of-body${r.body?.verdict ? " slowed" : ""}`}>{r.body?.short}</td>}
      <td role="cell">
        <span class="looks">
          {r.filmId && r.release !== undefined && <Link to={to.filmRoom(bullpenId, r.id)} aria-label={`Rep ${r.order} in the film room`}>film</Link>}
          {r.filmId && r.release !== undefined && r.pitch !== baselinePitch && <Link to={to.sideBySide(r.id)} aria-label={`Rep ${r.order} side by side with the fastball`}>side by side</Link>}
        </span>
      </td>
    </tr>
  );
}
