// The chosen rep: its reading in figures to be read from a bench away, its pitch,
// what follows from them, and everything else that can be said of it.
import { useLayoutEffect, useRef } from "preact/hooks";
import type { PitchType, Rep, Unit } from "../api/types";
import { FilmSpeedLine } from "../parts/film-speed";
import { Judgement } from "../parts/verdict";
import { baselineIs } from "../words/baseline";
import { questionsOf } from "../parts/sure";
import { gapText, speedText } from "../words/speed";
import { pitchName } from "../words/workout";
import { marksNext } from "./next-step";
import { PlanLine } from "./plan-line";
import type { Row } from "./core/ledger";
import type { Typing } from "./core/room";
import { useAsked } from "./asked";
import { useOffice } from "./office";
import { RepDetails } from "./rep-details";
import { hint } from "./hint";
import { useWatched } from "./watch";

export function RepPanel() {
  const office = useOffice();
  const { room, changes } = office;
  const typing = useWatched(changes, () => room.state.typing);
  const row = useWatched(changes, () => room.chosen());
  const open = typing !== undefined || row !== undefined;
  const main = useWatched(changes, () => marksNext(office));
  return (
    <section class="rep-panel" aria-label="The chosen rep">
      <button type="button" class={`button${main ? " primary" : ""} mark`} title={hint("The ball leaves the hand in this frame", { do: "mark" })} onClick={() => room.act({ do: "mark" })}>
        {office.film ? "Mark release" : "Log a rep without film"} <kbd>M</kbd>
      </button>
      <PlanLine row={row} />
      {open ? <ChosenRep row={row} typing={typing} /> : <NoRep />}
    </section>
  );
}

function NoRep() {
  const office = useOffice();
  const some = useWatched(office.changes, () => office.ledger.rows().length > 0);
  return some ? null : <p class="quiet">Then type what the gun showed, one letter for the pitch, and Enter.</p>;
}

function ChosenRep({ row, typing }: { row: Row | undefined; typing: Typing | undefined }) {
  const office = useOffice();
  const rep = row?.rep;
  const unit = rep?.reading?.unit ?? office.gun.unit;
  const pitch = typing?.pitch ?? rep?.pitch;
  return (
    <>
      <div class="rep-head">
        <h2>{rep ? `Rep ${rep.order}` : "New rep"}</h2>
        {typing ? <ReadingField typing={typing} unit={unit} /> : <ReadingShown rep={rep} unit={unit} />}
        {rep && !typing && <Outcome rep={rep} />}
      </div>
      <Pitches pitch={pitch} typing={typing !== undefined} />
      {row && !typing && <Doubt row={row} />}
      {row && <RepDetails row={row} typing={typing !== undefined} />}
      {rep && !typing && <CountedFrom rep={rep} />}
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

function ReadingField({ typing, unit }: { typing: Typing; unit: Unit }) {
  const { room } = useOffice();
  const input = useRef<HTMLInputElement>(null);
  const pressed = useRef(false);
  const asked = useAsked();
  useLayoutEffect(() => {
    pressed.current = false;
    input.current?.focus();
    input.current?.select();
  }, [typing.key, typing.fresh]);
  return (
    <form
      class="reading-field"
      onSubmit={(event) => {
        event.preventDefault();
        room.confirm();
      }}
    >
      <label>
        <span class="sr-only">Reading in {unit}, then a letter for the pitch</span>
        <input
          ref={input}
          class="input"
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="done"
          value={typing.text}
          aria-invalid={typing.problem !== undefined}
          aria-describedby="reading-problem reading-asked"
          onInput={(event) => {
            room.type(event.currentTarget.value);
            // A letter is taken out at once, also when nothing else changed.
            event.currentTarget.value = room.state.typing?.text ?? "";
          }}
          onKeyDown={(event) => {
            pressed.current = true;
            if (event.key === "Escape") room.leave();
            if (event.key === " " && typing.byEar) {
              event.preventDefault();
              room.hearAgain();
            }
          }}
          onKeyPress={(event) => {
            // The key that opened the field, still going down, is not for the field.
            if (!pressed.current) event.preventDefault();
          }}
        />
      </label>
      <span class="unit">{unit}</span>
      <button type="submit" class="button primary">Confirm</button>
      <p id="reading-problem" class="problem" role="alert">{typing.problem ?? ""}</p>
      <p id="reading-asked" class="problem" role="status">{asked}</p>
    </form>
  );
}

function ReadingShown({ rep, unit }: { rep: Rep | undefined; unit: Unit }) {
  const { room } = useOffice();
  return (
    <div class="reading-and-film">
      <button type="button" class="reading-shown" title={hint("Type the reading", { do: "reading" })} onClick={() => room.act({ do: "reading" })}>
        <b>{rep?.reading ? rep.reading.value : "–"}</b>
        <span class="unit">{rep?.reading ? unit : "no reading yet"}</span>
      </button>
      {rep?.filmSpeed && <FilmSpeedLine said={rep.filmSpeed} unit={unit} />}
    </div>
  );
}

/** Gap and verdict, as the server has them. */
function Outcome({ rep: { judged } }: { rep: Rep }) {
  const { unit } = useOffice().sheet.pitcher;
  return (
    <div class="outcome">
      {judged.gap && <p class="gap"><b>{gapText(judged.gap, unit, false, judged.edgeOf !== undefined).replace("−", "")}</b> {unit} {judged.gap.mph < 0 ? "over" : "under"}</p>}
      <p><Judgement judged={judged} /></p>
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
