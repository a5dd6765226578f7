// Marking five reps again without seeing the first marks: where one is, what has
// been marked, what comes next. It knows no browser.
import type { InstantName } from "../side-by-side/phases";
import type { RemarkRep, RemarkedRep } from "../api/types";

export interface Exercise {
  reps: readonly RemarkRep[];
  /** Which rep is on; as many as there are reps when all are done. */
  at: number;
  /** The second marks, by rep. */
  marks: readonly Partial<Record<InstantName, number>>[];
}

export function begin(reps: readonly RemarkRep[]): Exercise {
  return { reps, at: 0, marks: reps.map(() => ({})) };
}

export function rep(e: Exercise): RemarkRep | undefined {
  return e.reps[e.at];
}

export function isOver(e: Exercise): boolean {
  return e.at >= e.reps.length;
}

/** Marks an instant of the rep that is on; one that is not asked for changes nothing. */
export function mark(e: Exercise, instant: InstantName, frame: number): Exercise {
  if (!rep(e)?.instants?.includes(instant)) return e;
  return { ...e, marks: e.marks.map((m, i) => (i === e.at ? { ...m, [instant]: frame } : m)) };
}

/** The instants of the rep that is on which have no second mark yet. */
export function missing(e: Exercise): InstantName[] {
  const done = e.marks[e.at] ?? {};
  return (rep(e)?.instants ?? []).filter((i) => done[i] === undefined);
}

/** On to the next rep; what was not marked of this one is left out. */
export function onward(e: Exercise): Exercise {
  return isOver(e) ? e : { ...e, at: e.at + 1 };
}

/** Keeps a frame within what is shown of the rep that is on. */
export function within(e: Exercise, frame: number): number {
  const r = rep(e);
  return r ? Math.min(Math.max(frame, r.from), r.to) : frame;
}

/** What is sent: reps with at least one mark. */
export function answer(e: Exercise): RemarkedRep[] {
  return e.reps.flatMap((r, i) => {
    const marks = e.marks[i]!;
    return Object.keys(marks).length > 0 ? [{ repId: r.repId, ...marks }] : [];
  });
}
