// The workout that what the bullpen shows speaks for, to hand out with one touch.
import { useState } from "preact/hooks";
import type { Sheet } from "../api/types";
import { HandOut } from "../homework/hand-out";
import { WorkoutSketch } from "../pictures/workout-sketch";

export function Offer({ sheet }: { sheet: Sheet }) {
  const [out, setOut] = useState(false);
  const w = sheet.offer;
  if (!w) return null;
  return (
    <aside class="offer card" aria-label="A workout for it">
      <WorkoutSketch of={w.key} />
      <p><b>{w.title}</b>: for {w.for}, {w.reps} reps. <span class="quiet">Common practice.</span></p>
      <button type="button" class="button" onClick={() => setOut(true)}>Hand it out</button>
      {out && <HandOut workout={{ starter: w.key, title: w.title }} pitcherId={sheet.pitcher.id} onClose={() => setOut(false)} />}
    </aside>
  );
}
