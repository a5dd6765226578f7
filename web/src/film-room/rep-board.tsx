// The chosen rep's board: what the gun read in figures to be seen from a bench away, and
// what it came to.
import { useLayoutEffect, useRef } from "preact/hooks";
import type { Rep, Unit } from "../api/types";
import { BodyMark } from "../parts/body-mark";
import { FilmSpeedLine } from "../parts/film-speed";
import { Judgement } from "../parts/verdict";
import { gapText } from "../words/speed";
import { useAsked } from "./asked";
import type { Typing } from "./core/room";
import { hint } from "./hint";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function RepBoard() {
  const office = useOffice();
  const { room, changes } = office;
  const typing = useWatched(changes, () => room.state.typing);
  const rep = useWatched(changes, () => room.chosen()?.rep);
  if (!typing && !rep) return null;
  const unit = rep?.reading?.unit ?? office.gun.unit;
  return (
    <section class="rep-board" aria-label="What the chosen rep came to">
      <header><h2>{rep ? `Rep ${rep.order}` : "New rep"}</h2>{rep?.pitchName && <p class="quiet">{rep.pitchName}</p>}</header>
      {typing ? <ReadingField typing={typing} unit={unit} /> : <ReadingShown rep={rep} unit={unit} />}
      {rep && !typing && <Outcome rep={rep} />}
      {rep?.filmSpeed && !typing && <FilmSpeedLine said={rep.filmSpeed} unit={unit} />}
    </section>
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
    <button type="button" class="reading-shown" title={hint("Type the reading", { do: "reading" })} onClick={() => room.act({ do: "reading" })}>
      <b>{rep?.reading ? rep.reading.value : "–"}</b>
      <span class="unit">{rep?.reading ? unit : "no reading yet"}</span>
    </button>
  );
}

/** Gap, verdict and body, as the server has them. */
function Outcome({ rep: { judged, body } }: { rep: Rep }) {
  const { unit } = useOffice().sheet.pitcher;
  return (
    <div class="outcome">
      {judged.gap && <p class="gap"><b>{gapText(judged.gap, unit, false, judged.edgeOf !== undefined).replace("−", "")}</b> {unit} {judged.gap.mph < 0 ? "over" : "under"}</p>}
      <p><Judgement judged={judged} /></p>
      {body?.legs && <p class="body"><span class="quiet">{body.short}</span> {body.told && <BodyMark verdict={body.told} />}</p>}
    </div>
  );
}
