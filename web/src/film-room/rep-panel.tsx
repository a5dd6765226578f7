// What can be said of the chosen rep: its pitch, strike or ball, its four instants, and
// the rest. What it came to stands above, on its board.
import type { PitchType, Rep } from "../api/types";
import { questionsOf } from "../parts/sure";
import { baselineIs } from "../words/baseline";
import { speedText } from "../words/speed";
import { pitchName } from "../words/workout";
import { MarkButton } from "./mark-button";
import { PlanLine } from "./plan-line";
import type { Row } from "./core/ledger";
import type { Typing } from "./core/room";
import { useOffice } from "./office";
import { RepDetails } from "./rep-details";
import { useWatched } from "./watch";

export function RepPanel() {
  const office = useOffice();
  const { room, changes } = office;
  const typing = useWatched(changes, () => room.state.typing);
  const row = useWatched(changes, () => room.chosen());
  const film = useWatched(changes, () => office.film?.id);
  const plan = useWatched(changes, () => office.sheet.plan);
  const open = typing !== undefined || row !== undefined;
  const some = useWatched(changes, () => office.ledger.rows().length > 0);
  if (film && some && !open && !plan) return null;
  return (
    <section class="rep-panel" aria-label="The chosen rep">
      {!film && <MarkButton />}
      <PlanLine row={row} />
      {open ? <ChosenRep row={row} typing={typing} /> : !some && <p class="quiet">Then type what the gun showed, one letter for the pitch, and Enter.</p>}
    </section>
  );
}

function ChosenRep({ row, typing }: { row: Row | undefined; typing: Typing | undefined }) {
  const pitch = typing?.pitch ?? row?.rep.pitch;
  return (
    <>
      <Pitches pitch={pitch} typing={typing !== undefined} />
      {row && !typing && <Doubt row={row} />}
      {row && <RepDetails row={row} typing={typing !== undefined} />}
      {row && !typing && <CountedFrom rep={row.rep} />}
    </>
  );
}

/** The pitches she throws as buttons, the others in a list. */
function Pitches({ pitch, typing }: { pitch: string | undefined; typing: boolean }) {
  const { room, changes, ledger, sheet, pitchTypes } = useOffice();
  const thrown = useWatched(changes, () => [...new Set(["fb", "ch", sheet.pitcher.baselinePitch, ...ledger.rows().map(({ rep }) => rep.pitch)])].sort());
  const near = pitchTypes.filter((t) => thrown.includes(t.code) || t.code === pitch);
  const far = pitchTypes.filter((t) => !near.includes(t));
  return (
    <div class="pitches" role="group" aria-label="Pitch">
      {near.map((type) => (
        <button key={type.code} type="button" class="button" aria-pressed={pitch === type.code} onClick={() => room.pick(type.code)}>
          {type.name} {typing && <kbd>{type.key.toUpperCase()}</kbd>}
        </button>
      ))}
      {far.length > 0 && (
        <select class="input" aria-label="Another pitch" value="" onChange={(event) => room.pick(event.currentTarget.value as PitchType["code"])}>
          <option value="">other …</option>
          {far.map((type) => <option key={type.code} value={type.code}>{type.name}{typing ? ` (${type.key.toUpperCase()})` : ""}</option>)}
        </select>
      )}
    </div>
  );
}

/** What the gap is counted from, and where it should lie. */
function CountedFrom({ rep: { judged } }: { rep: Rep }) {
  const office = useOffice();
  const { unit } = office.sheet.pitcher;
  const { baseline: base, gap, verdict, aim } = judged;
  if (!base || !gap) return null;
  return (
    <p class="quiet fine">
      Baseline {speedText(base.speed, unit)} ({baselineIs(base, pitchName(office.pitchTypes, base.pitch))}).
      {verdict && aim && ` In the band: ${speedText(aim.lo, unit, false)} to ${speedText(aim.hi, unit)}.`}
    </p>
  );
}

/** "Sure?": asked once for each reading, refused never. */
function Doubt({ row: { key, rep } }: { row: Row }) {
  const { room, pitchTypes } = useOffice();
  const said = questionsOf(rep);
  if (said.length === 0) return null;
  const meant = rep.judged.meant;
  const pitch = rep.judged.meantPitch;
  return (
    <div class="notice alarm sure" role="status">
      {said.map((sentence) => <p key={sentence}>{sentence}</p>)}
      <div class="row">
        {meant && <button type="button" class="button" onClick={() => room.edit(key, { reading: meant }, rep)}>It was {meant.value} {meant.unit}</button>}
        {pitch && <button type="button" class="button" onClick={() => room.edit(key, { pitch }, rep)}>It was a {pitchName(pitchTypes, pitch)}</button>}
        <button type="button" class="button" onClick={() => room.edit(key, { sure: true }, rep)}>It is right</button>
        <button type="button" class="button" onClick={() => room.act({ do: "reading" })}>Change it</button>
      </div>
    </div>
  );
}
