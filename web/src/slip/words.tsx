// What the student writes: a reading beside each rep if a parent held a gun, and a
// note. Kept by itself a moment after typing stops.
import { useEffect, useRef, useState } from "preact/hooks";
import type { GunPlace, PlaceReading, SlipPage } from "../api/types";
import { failureText } from "../said/failure";
import { useSaid } from "../said/language";
import { pitchName, placeText } from "../said/names";
import type { Key } from "../said/say";
import { numberOf } from "../words/number";
import { saveWords } from "./desk";

const places: readonly { value: GunPlace; says: Key }[] = [
  { value: "behind catcher", says: "gun.behindCatcher" },
  { value: "behind pitcher", says: "gun.behindPitcher" },
  { value: "beside pitcher", says: "gun.besidePitcher" },
];

/** How long typing rests before it is kept, in ms. */
const rest = 900;

/** The readings among what was typed, and the first place whose text is none. */
export function readingsIn(typed: Readonly<Record<number, string>>, unit: PlaceReading["unit"]): { readings: PlaceReading[]; wrong: number } {
  const readings: PlaceReading[] = [];
  let wrong = -1;
  for (const [place, text] of Object.entries(typed)) {
    if (text.trim() === "") continue;
    const value = numberOf(text);
    if (value > 0 && value <= 200) readings.push({ place: Number(place), value, unit });
    else if (wrong < 0) wrong = Number(place);
  }
  return { readings, wrong };
}

export function Words({ page }: { page: SlipPage }) {
  const said = useSaid();
  const { say } = said;
  const [typed, setTyped] = useState<Record<number, string>>(() => Object.fromEntries(page.readings.map((r) => [r.place, String(r.value)])));
  const [gun, setGun] = useState(page.gun as GunPlace | "");
  const [note, setNote] = useState(page.note);
  const [kept, setKept] = useState("");
  const [problem, setProblem] = useState("");
  const first = useRef(true);
  const unit = page.readings[0]?.unit ?? page.unit;
  const { wrong } = readingsIn(typed, unit);

  useEffect(() => {
    if (first.current) {
      first.current = false;
      return;
    }
    setKept("");
    const keep = () =>
      saveWords({ note, ...(gun ? { gun } : {}), readings: readingsIn(typed, unit).readings }).then(
        () => {
          const left = page.workout.places[wrong];
          setKept(left ? say("words.keptBut", { place: placeText(said, left.set, left.number) }) : say("words.kept"));
          setProblem("");
        },
        (failure) => setProblem(`${say("words.notKept")} ${failureText(failure, said)}`),
      );
    const timer = setTimeout(keep, rest);
    return () => clearTimeout(timer);
  }, [note, gun, typed]);

  let set = 0;
  return (
    <section class="no-print" aria-labelledby="words">
      <h2 id="words">{say("words.title")}</h2>
      <details open={page.readings.length > 0}>
        <summary>{say("words.gun")}</summary>
        <div class="typed">
          <label class="field gun-place">
            <span>{say("words.where")}</span>
            <select class="input" value={gun} onChange={(e) => setGun(e.currentTarget.value as GunPlace | "")}>
              <option value="">{say("words.notSaid")}</option>
              {places.map((p) => <option key={p.value} value={p.value}>{say(p.says)}</option>)}
            </select>
          </label>
          {page.workout.places.map((p, i) => {
            const heading = p.set !== set && <h3 class="set">{say("set", { set: p.set })}</h3>;
            set = p.set;
            return (
              <>
                {heading}
                <label for={`place-${i}`}>{p.number}. {p.drill || say("fullPitch")}, {pitchName(said, p.pitch)}</label>
                <input
                  id={`place-${i}`} class="input" inputMode="decimal" autocomplete="off" placeholder={unit} aria-invalid={wrong === i}
                  value={typed[i] ?? ""} onInput={(e) => setTyped({ ...typed, [i]: e.currentTarget.value })}
                />
                {wrong === i && <p class="notice alarm" role="alert">{say("words.noNumber", { unit })}</p>}
              </>
            );
          })}
        </div>
      </details>
      <label class="field">
        <span>{say("words.note")}</span>
        <textarea class="input" rows={3} maxLength={2000} value={note} onInput={(e) => setNote(e.currentTarget.value)} />
      </label>
      <p class="quiet">{say("words.whoSees")}</p>
      <p role="status" class={problem ? "notice alarm" : "kept"}>{problem || kept}</p>
    </section>
  );
}
