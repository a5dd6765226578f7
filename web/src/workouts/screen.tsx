// Workouts to hand out, and the drills they are made of.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Drill, Starter, Workout, WorkoutText } from "../api/types";
import { usePitchTypes } from "../api/use-pitch-types";
import { act } from "../shell/act";
import { HandOut, type Handed } from "../homework/hand-out";
import { WorkoutSketch } from "../pictures/workout-sketch";
import { Drills } from "./drills";
import { emptyWorkout } from "./edit";
import { WorkoutEditor } from "./editor";
import { lineText, repsText, setName } from "../words/workout";

export function WorkoutsScreen() {
  const { workouts, starters, caution, drills, problem, refresh } = useWorkouts();
  const types = usePitchTypes();
  const [open, setOpen] = useState<{ text: WorkoutText; workout?: Workout }>();
  const [out, setOut] = useState<Handed>();
  useEffect(() => void (document.title = "Workouts, tenoff"), []);
  const remove = async (w: Workout) => {
    if (await act(ask("delete", "/api/workouts/{id}", { path: { id: w.id } }), `“${w.title}” is deleted. What was handed out keeps it.`)) refresh();
  };
  return (
    <>
      <header class="welcome">
        <h1>Workouts</h1>
        <p>Write one, hand it out with a private link, and her film comes in numbered along it.</p>
        <div class="row"><button type="button" class="button primary" onClick={() => setOpen({ text: emptyWorkout() })}>New workout</button></div>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {caution && <p class="notice">{caution}</p>}
      {workouts && workouts.length > 0 && (
        <section aria-labelledby="workouts">
          <h2 id="workouts" class="sr-only">All workouts</h2>
          <ul class="cards">
            {workouts.map((w) => (
              <li key={w.id} class="card item">
                <h3>{w.title}</h3>
                <p class="quiet">{repsText(w.reps)}</p>
                <ul class="sets-said">
                  {w.sets.map((set, i) => <li key={i}><b>{setName(w.sets, i)}:</b> {set.lines.map((line) => lineText(line, types)).join("; ")}</li>)}
                </ul>
                <div class="row">
                  <button type="button" class="button primary" aria-label={`Hand out ${w.title}`} onClick={() => setOut(w)}>Hand out</button>
                  <button type="button" class="button" aria-label={`Change ${w.title}`} onClick={() => setOpen({ text: textOf(w), workout: w })}>Change</button>
                  <button type="button" class="button" aria-label={`Copy ${w.title}`} onClick={() => setOpen({ text: { ...textOf(w), title: `${w.title}, again` } })}>Copy</button>
                  <button type="button" class="button" aria-label={`Delete ${w.title}`} onClick={() => void remove(w)}>Delete</button>
                </div>
              </li>
            ))}
          </ul>
        </section>
      )}
      {starters.length > 0 && (
        <section aria-labelledby="starters">
          <h2 id="starters">Three to start with</h2>
          <p class="quiet">Common practice, no source: every set ends in full pitches. Make one yours and change it as you like.</p>
          <ul class="cards">
            {starters.map((w) => (
              <li key={w.key} class="card item">
                <WorkoutSketch of={w.key} />
                <h3>{w.title}</h3>
                <p>For {w.for}, {repsText(w.reps)}</p>
                <details><summary>What it asks</summary>
                  <p class="pre">{w.note}</p>
                  <ul class="sets-said">{w.sets.map((set, i) => <li key={i}><b>{setName(w.sets, i)}:</b> {set.lines.map((line) => lineText(line, types)).join("; ")}</li>)}</ul>
                </details>
                <div class="row">
                  <button type="button" class="button primary" aria-label={`Hand out ${w.title}`} onClick={() => setOut({ starter: w.key, title: w.title })}>Hand out</button>
                  <button type="button" class="button" aria-label={`Make it mine: ${w.title}`} onClick={() => setOpen({ text: { title: w.title, note: w.note ?? "", sets: w.sets } })}>Make it mine</button>
                </div>
              </li>
            ))}
          </ul>
        </section>
      )}
      <Drills drills={drills} refresh={refresh} />
      {open && <WorkoutEditor {...open} drills={drills} types={types} onSaved={refresh} onClose={() => setOpen(undefined)} />}
      {out && <HandOut workout={out} onClose={() => setOut(undefined)} />}
    </>
  );
}

const textOf = ({ title, note, sets }: Workout): WorkoutText => ({ title, note: note ?? "", sets });

function useWorkouts() {
  const [workouts, setWorkouts] = useState<Workout[]>();
  const [starters, setStarters] = useState<Starter[]>([]);
  const [caution, setCaution] = useState("");
  const [drills, setDrills] = useState<Drill[]>([]);
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    Promise.all([ask("get", "/api/workouts"), ask("get", "/api/drills")]).then(
      ([all, known]) => {
        setWorkouts(all.workouts);
        setStarters(all.starters);
        setCaution(all.caution);
        setDrills(known.drills);
        setProblem("");
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, []);
  useEffect(refresh, [refresh]);
  return { workouts, starters, caution, drills, problem, refresh };
}
