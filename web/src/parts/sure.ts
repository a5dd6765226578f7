// What is asked about a reading. "It is right" is kept with the rep; until then nothing
// counts a reading that the others, or its film, speak against.
import type { Rep } from "../api/types";

/** The questions about a rep's reading that nobody has answered; they refuse nothing. */
export function questionsOf(rep: Rep): string[] {
  return rep.sure || !rep.judged.doubt ? [] : [rep.judged.doubt];
}

/** What is asked of a rep's reading in one line; empty for nothing. */
export function askedOf(rep: Rep): string {
  return questionsOf(rep).join(" ");
}
