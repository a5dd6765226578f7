// Changes to a workout that is being written. None of them changes what it was given.
import type { Pitch, WorkoutLine, WorkoutSet, WorkoutText } from "../api/types";

export const emptyLine = (pitch: Pitch = "fb"): WorkoutLine => ({ drill: "", pitch, reps: 5 });

export const emptyWorkout = (): WorkoutText => ({ title: "", note: "", sets: [{ times: 1, lines: [emptyLine()] }] });

export function withSet(workout: WorkoutText, at: number, change: Partial<WorkoutSet>): WorkoutText {
  return { ...workout, sets: workout.sets.map((set, i) => (i === at ? { ...set, ...change } : set)) };
}

/** Another set at the end: the last one again. */
export function moreSets(workout: WorkoutText): WorkoutText {
  const last = workout.sets.at(-1) ?? { times: 1, lines: [emptyLine()] };
  return { ...workout, sets: [...workout.sets, { times: 1, lines: last.lines.map((line) => ({ ...line })) }] };
}

export function withoutSet(workout: WorkoutText, at: number): WorkoutText {
  return { ...workout, sets: workout.sets.filter((_, i) => i !== at) };
}

export function withLine(workout: WorkoutText, set: number, at: number, change: Partial<WorkoutLine>): WorkoutText {
  const lines = workout.sets[set]?.lines.map((line, i) => (i === at ? { ...line, ...change } : line)) ?? [];
  return withSet(workout, set, { lines });
}

export function moreLines(workout: WorkoutText, set: number): WorkoutText {
  const lines = workout.sets[set]?.lines ?? [];
  return withSet(workout, set, { lines: [...lines, { ...(lines.at(-1) ?? emptyLine()) }] });
}

/** Without a line; a set without lines goes with it. */
export function withoutLine(workout: WorkoutText, set: number, at: number): WorkoutText {
  const lines = workout.sets[set]?.lines.filter((_, i) => i !== at) ?? [];
  return lines.length === 0 && workout.sets.length > 1 ? withoutSet(workout, set) : withSet(workout, set, { lines });
}

/** One of a list moved up (-1) or down (1); at the end it stays. */
export function moved<T>(list: readonly T[], at: number, by: -1 | 1): T[] {
  const out = [...list];
  const [one] = out.splice(at, 1);
  if (one !== undefined) out.splice(Math.min(Math.max(at + by, 0), out.length), 0, one);
  return out;
}
