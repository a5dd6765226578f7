// The chosen rep's body: its four instants, marked or found, and how fast legs and
// arm went beside her own fastballs.
import type { Rep } from "../api/types";
import { besideText, paceText } from "../words/body";
import { sense } from "../words/instants";
import { pitchName, pitchNames } from "../words/workout";
import { instants, type Instant } from "./core/change";
import { acceptable, placeOf, seenOf, sentenceOfInstant, withinText } from "./core/found";
import type { Row } from "./core/ledger";
import { useOffice } from "./office";
import { hint } from "./hint";

export function RepBody({ row: { key, rep } }: { row: Row }) {
  const office = useOffice();
  const { room, sheet } = office;
  const waiting = Object.keys(acceptable(rep)).length;
  return (
    <div class="rep-body" role="group" aria-label="Instants of this delivery">
      {!sheet.body.marked && <p class="quiet fine">The four instants of her delivery: {instants.map((i) => `${i}, ${sense[i]}`).join("; ")}.</p>}
      <ul class="instants">
        {instants.map((instant, i) => (
          <li key={instant}>
            <button type="button" class="button" title={hint(`${instant}: ${sense[instant]}, in the frame on show`, { do: "instant", instant })} onClick={() => room.act({ do: "instant", instant })}>
              {instant} <kbd>{i + 1}</kbd>
            </button>
            <Place rep={rep} instant={instant} />
            {rep[instant] !== undefined && instant !== "release" && (
              <button type="button" class="take-away" aria-label={`Take the ${instant} mark away`} onClick={() => room.edit(key, { [instant]: null })}>×</button>
            )}
          </li>
        ))}
      </ul>
      {waiting > 0 && (
        <div class="row">
          <button type="button" class="button" title={hint("Accept what was found on this rep", { do: "accept", of: "rep" })} onClick={() => room.act({ do: "accept", of: "rep" })}>Accept {waiting === 1 ? "the one" : `the ${waiting}`} found <kbd>A</kbd></button>
          <button type="button" class="button" title={hint("Look at the next instant of this rep", { do: "look", by: 1 })} onClick={() => room.act({ do: "look", by: 1 })}>Look at the next <kbd>J</kbd></button>
        </div>
      )}
      {!sheet.body.marked && rep.pitch === sheet.pitcher.baselinePitch && <p class="quiet">Mark all four on this one, and tenoff finds them in the others.</p>}
      {rep.found && rep.pitch !== sheet.pitcher.baselinePitch && <p class="quiet fine">A mark that you move counts for this rep; one on her {pitchName(office.pitchTypes, sheet.pitcher.baselinePitch)} corrects all the others too.</p>}
      <BodySpeed rep={rep} />
    </div>
  );
}

/** Where an instant is: marked, found, where it would be, or nowhere. */
function Place({ rep, instant }: { rep: Rep; instant: Instant }) {
  const { room } = useOffice();
  const found = rep.found?.[instant];
  const seen = seenOf(rep, instant);
  const frame = placeOf(rep, instant);
  if (frame === undefined || !rep.filmId) return <span class="place quiet">not marked</span>;
  const differs = seen?.beside === "differs";
  const kind = rep[instant] !== undefined ? "marked" : found?.within ? "found" : "unsure";
  const about = differs ? "look again" : seen ? `about ${frame}` : "mark it";
  const within = withinText(rep, instant);
  const text = { marked: `frame ${frame}${within}`, found: `found ${Math.round(100 * (found?.match ?? 0))} %${within}`, unsure: about }[kind];
  const title = sentenceOfInstant(rep, instant);
  return (
    <>
      <button type="button" class={`place ${kind}`} aria-label={`Go to ${instant}: ${kind === "unsure" ? title : text}`} title={title} onClick={() => room.open(rep.filmId!, frame)}>{text}</button>
      {differs && <button type="button" class="place unsure" title={title} aria-label={`Go to ${instant} as her joints show it`} onClick={() => room.open(rep.filmId!, seen.frame)}>joints: {seen.frame}</button>}
    </>
  );
}

/** Legs and arm in plain words. */
function BodySpeed({ rep }: { rep: Rep }) {
  const office = useOffice();
  const { body } = rep;
  if (!body) return null;
  const { baselinePitch } = office.sheet.pitcher;
  const baseline = pitchName(office.pitchTypes, baselinePitch), several = pitchNames(office.pitchTypes, baselinePitch);
  if (!body.legs) return body.pending && office.sheet.body.marked ? <p class="quiet">{body.pending}</p> : null;
  return (
    <dl class="body-speed">
      <div class={body.legs.within ? "" : "outside"}><dt>Legs</dt><dd><b>{paceText(body.legs)}</b> of her {baseline}’s speed, {besideText(body.legs, several, body.verdict === "slowed body")}</dd></div>
      {body.arm && <div class={body.arm.within ? "" : "outside"}><dt>Arm</dt><dd><b>{paceText(body.arm)}</b>, {besideText(body.arm, several, body.verdict === "slowed arm")}</dd></div>}
    </dl>
  );
}
