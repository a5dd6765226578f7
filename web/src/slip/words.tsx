// What the student writes: a reading beside each rep if a parent held a gun, and a
// note. Kept by itself a moment after typing stops.
import { useEffect, useRef, useState } from "preact/hooks";
import { sentenceOf } from "../api/client";
import type { GunPlace, PlaceReading, SlipPage } from "../api/types";
import { numberOf } from "../words/number";
import { pitchName } from "../workouts/said";
import { inSetText } from "../words/place";
import { saveWords } from "./desk";

const places: readonly { value: GunPlace; says: string }[] = [
  { value: "behind catcher", says: "behind the catcher" },
  { value: "behind pitcher", says: "behind the pitcher" },
  { value: "beside pitcher", says: "beside the pitcher" },
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
          setKept(left ? `Kept, but for ${inSetText(left.set, left.number)}: what stands there is no number.` : "Kept.");
          setProblem("");
        },
        (failure) => setProblem(`Not kept yet. ${sentenceOf(failure)}`),
      );
    const timer = setTimeout(keep, rest);
    return () => clearTimeout(timer);
  }, [note, gun, typed]);

  let set = 0;
  return (
    <section aria-labelledby="words">
      <h2 id="words">Readings and a note</h2>
      <details open={page.readings.length > 0}>
        <summary>Somebody held a radar gun: type what it showed</summary>
        <div class="typed">
          <label class="field gun-place">
            <span>Where it stood</span>
            <select class="input" value={gun} onChange={(e) => setGun(e.currentTarget.value as GunPlace | "")}>
              <option value="">not said</option>
              {places.map((p) => <option key={p.value} value={p.value}>{p.says}</option>)}
            </select>
          </label>
          {page.workout.places.map((p, i) => {
            const heading = p.set !== set && <h3 class="set">Set {p.set}</h3>;
            set = p.set;
            return (
              <>
                {heading}
                <label for={`place-${i}`}>{p.number}. {p.drill || "full pitch"}, {pitchName(page.pitchTypes, p.pitch)}</label>
                <input
                  id={`place-${i}`} class="input" inputMode="decimal" autocomplete="off" placeholder={unit} aria-invalid={wrong === i}
                  value={typed[i] ?? ""} onInput={(e) => setTyped({ ...typed, [i]: e.currentTarget.value })}
                />
                {wrong === i && <p class="notice alarm" role="alert">Write a number in {unit}, such as 47.</p>}
              </>
            );
          })}
        </div>
      </details>
      <label class="field">
        <span>A note to your instructor</span>
        <textarea class="input" rows={3} maxLength={2000} value={note} onInput={(e) => setNote(e.currentTarget.value)} />
      </label>
      <p class="quiet">Your instructor sees what you write here; so does whoever opens this link with you. If something hurts, stop and tell a grown-up now: a note may be read days later.</p>
      <p role="status" class={problem ? "notice alarm" : "kept"}>{problem || kept}</p>
    </section>
  );
}
