// Writes a workout: sets, and in each set lines of a drill, a pitch and a number.
import { useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Drill, Pitch, PitchType, Workout, WorkoutText } from "../api/types";
import { Dialog } from "../parts/dialog";
import { say } from "../shell/say";
import { moreLines, moreSets, moved, withLine, withoutLine, withoutSet, withSet } from "./edit";
import { repsOf, repsText, setName } from "../words/workout";

interface Props {
  /** What it begins with. */
  text: WorkoutText;
  /** The workout that is written anew; missing for a new one. */
  workout?: Workout;
  drills: readonly Drill[];
  types: readonly PitchType[];
  onSaved: () => void;
  onClose: () => void;
}

export function WorkoutEditor({ text, workout, drills, types, onSaved, onClose }: Props) {
  const [w, setW] = useState(text);
  const [problem, setProblem] = useState("");
  const save = async (event: Event) => {
    event.preventDefault();
    try {
      if (workout) await ask("put", "/api/workouts/{id}", { path: { id: workout.id }, body: { ...w, version: workout.version } });
      else await ask("post", "/api/workouts", { body: w });
      say("The workout is kept.");
      onSaved();
      onClose();
    } catch (failure) {
      setProblem(sentenceOf(failure));
    }
  };
  return (
    <Dialog title={workout ? "Workout" : "New workout"} wide onClose={onClose}>
      <form class="stack workout-editor" onSubmit={(e) => void save(e)}>
        <label class="field"><span>Title</span><input class="input" data-first required maxLength={120} value={w.title} onInput={(e) => setW({ ...w, title: e.currentTarget.value })} /></label>
        <label class="field"><span>Words to her, if it needs any</span><textarea class="input" rows={2} maxLength={2000} value={w.note ?? ""} onInput={(e) => setW({ ...w, note: e.currentTarget.value })} /></label>
        {w.sets.map((set, i) => (
          <fieldset class="card set-of-lines" key={i}>
            <legend class="sr-only">{setName(w.sets, i)}</legend>
            <div class="row">
              <h3 aria-hidden="true">{setName(w.sets, i)}</h3>
              <label class="field inline"><span>times in a row</span><Count value={set.times} most={20} label={`${setName(w.sets, i)}: times in a row`} onCount={(times) => setW(withSet(w, i, { times }))} /></label>
              <span class="grow" />
              <button type="button" class="button square" aria-label={`${setName(w.sets, i)} up`} disabled={i === 0} onClick={() => setW({ ...w, sets: moved(w.sets, i, -1) })}>↑</button>
              <button type="button" class="button square" aria-label={`${setName(w.sets, i)} down`} disabled={i === w.sets.length - 1} onClick={() => setW({ ...w, sets: moved(w.sets, i, 1) })}>↓</button>
              {w.sets.length > 1 && <button type="button" class="button" onClick={() => setW(withoutSet(w, i))}>Remove set</button>}
            </div>
            {set.lines.map((line, j) => (
              <div class="line" key={j}>
                <Count value={line.reps} most={300} label={`Line ${j + 1}: reps`} onCount={(reps) => setW(withLine(w, i, j, { reps }))} />
                <span aria-hidden="true">×</span>
                <select class="input" aria-label={`Line ${j + 1}: pitch`} value={line.pitch} onChange={(e) => setW(withLine(w, i, j, { pitch: e.currentTarget.value as Pitch }))}>
                  {types.map((t) => <option key={t.code} value={t.code}>{t.name}</option>)}
                </select>
                <select class="input" aria-label={`Line ${j + 1}: drill`} value={line.drill} onChange={(e) => setW(withLine(w, i, j, { drill: e.currentTarget.value }))}>
                  <option value="">full pitch</option>
                  {drills.map((d) => <option key={d.id} value={d.name}>{d.name}</option>)}
                  {line.drill !== "" && !drills.some((d) => d.name === line.drill) && <option>{line.drill}</option>}
                </select>
                <button type="button" class="button square" aria-label={`Line ${j + 1} up`} disabled={j === 0} onClick={() => setW(withSet(w, i, { lines: moved(set.lines, j, -1) }))}>↑</button>
                <button type="button" class="button square" aria-label={`Line ${j + 1} down`} disabled={j === set.lines.length - 1} onClick={() => setW(withSet(w, i, { lines: moved(set.lines, j, 1) }))}>↓</button>
                <button type="button" class="button" aria-label={`Remove line ${j + 1}`} disabled={w.sets.length === 1 && set.lines.length === 1} onClick={() => setW(withoutLine(w, i, j))}>Remove</button>
              </div>
            ))}
            <div><button type="button" class="button" disabled={set.lines.length >= 20} onClick={() => setW(moreLines(w, i))}>Another line</button></div>
          </fieldset>
        ))}
        <div><button type="button" class="button" disabled={w.sets.length >= 20} onClick={() => setW(moreSets(w))}>Another set</button></div>
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        <footer>
          <p class="total" role="status">{repsText(repsOf(w))}</p>
          <button type="button" class="button" onClick={onClose}>Cancel</button>
          <button class="button primary">Keep the workout</button>
        </footer>
      </form>
    </Dialog>
  );
}

function Count({ value, most, label, onCount }: { value: number; most: number; label: string; onCount: (n: number) => void }) {
  return <input class="input count" type="number" min={1} max={most} required aria-label={label} value={value} onInput={(e) => onCount(Math.round(Number(e.currentTarget.value)) || 1)} />;
}
