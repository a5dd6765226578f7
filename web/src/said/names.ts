// What things are called in the reader's language.
import type { WorkoutSet } from "../api/types";
import type { Key, Said } from "./say";

const pitches: Record<string, Key> = {
  fb: "pitch.fb", ch: "pitch.ch", os: "pitch.os", dr: "pitch.dr", ri: "pitch.ri", cu: "pitch.cu", sc: "pitch.sc", dc: "pitch.dc",
};

/** A pitch by its code; a code that is not known stands for itself. */
export function pitchName({ say }: Said, code: string): string {
  const key = pitches[code];
  return key ? say(key) : code;
}

/** "set 2, no. 3", as captions say it; empty where it is not said. */
export function placeText({ say }: Said, set: number, number: number): string {
  if (set > 0 && number > 0) return say("place.both", { set, number });
  return set > 0 ? say("place.set", { set }) : number > 0 ? say("place.number", { number }) : "";
}

/** "Set 1", or "Sets 2 to 4" for one that is thrown three times over. */
export function setText({ say }: Said, sets: readonly Pick<WorkoutSet, "times">[], index: number): string {
  const before = sets.slice(0, index).reduce((n, s) => n + s.times, 0);
  const times = sets[index]?.times ?? 1;
  if (times === 1) return say("set", { set: before + 1 });
  return say(times === 2 ? "set.two" : "set.many", { first: before + 1, last: before + times });
}

/** The first letter raised. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
