// A workout in words.
import type { PitchType, WorkoutLine, WorkoutSet, WorkoutText } from "../api/types";

/** "Set 1", or "Sets 2 to 4" for one that is thrown three times over. */
export function setName(sets: readonly WorkoutSet[], index: number): string {
  const before = sets.slice(0, index).reduce((n, s) => n + s.times, 0);
  const times = sets[index]?.times ?? 1;
  if (times === 1) return `Set ${before + 1}`;
  return `Sets ${before + 1} ${times === 2 ? "and" : "to"} ${before + times}`;
}

export function pitchName(types: readonly Pick<PitchType, "code" | "name">[], code: string): string {
  return types.find((t) => t.code === code)?.name.toLowerCase() ?? code;
}

/** Several of them: "change-ups". */
export function pitchNames(types: readonly Pick<PitchType, "code" | "plural">[], code: string): string {
  return types.find((t) => t.code === code)?.plural ?? code;
}

/** "6 × fastball, wrist snap". */
export function lineText(line: WorkoutLine, types: readonly Pick<PitchType, "code" | "name">[]): string {
  return `${line.reps} × ${pitchName(types, line.pitch)}, ${line.drill || "full pitch"}`;
}

export function repsOf(workout: Pick<WorkoutText, "sets">): number {
  return workout.sets.reduce((n, set) => n + set.times * set.lines.reduce((m, line) => m + line.reps, 0), 0);
}

export function repsText(n: number): string {
  return `${n} ${n === 1 ? "rep" : "reps"}`;
}
