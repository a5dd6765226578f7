// The workout that what the bullpen shows speaks for, to hand out with one touch: once on a
// page, above where that is what comes next, else among what was found.
import { useState } from "preact/hooks";
import type { Sheet } from "../api/types";
import { HandOut } from "../homework/hand-out";
import { WorkoutSketch } from "../pictures/workout-sketch";
import { stepOf } from "./next";

export function Offer({ sheet }: { sheet: Sheet }) {
  const w = sheet.offer;
  if (!w || stepOf(sheet) === "hand out") return null;
  return (
    <aside class="offer card" aria-label="A workout for it">
      <WorkoutSketch of={w.key} />
      <p><b>{w.title}</b>: for {w.for}, {w.reps} reps. <span class="quiet">Common practice.</span></p>
      <HandOutOffer sheet={sheet} />
    </aside>
  );
}

/** Hands it out; named where the workout itself does not stand beside it. */
export function HandOutOffer({ sheet, named = false }: { sheet: Sheet; named?: boolean }) {
  const [out, setOut] = useState(false);
  const w = sheet.offer;
  if (!w) return null;
  return (
    <>
      <button type="button" class={`button${named ? " primary" : ""}`} onClick={() => setOut(true)}>Hand {named ? `out ${w.title}` : "it out"}</button>
      {named && <span class="quiet for-what">for {w.for}, {w.reps} reps; common practice</span>}
      {out && <HandOut workout={{ starter: w.key, title: w.title }} pitcherId={sheet.pitcher.id} onClose={() => setOut(false)} />}
    </>
  );
}
