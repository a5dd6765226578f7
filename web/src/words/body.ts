// Body speed as a coach says it. Nothing is computed here: the numbers and whether
// they lie inside her own spread are the server's.
import type { Eye, BodySpeed, Rep } from "../api/types";
import { dayText } from "./speed";

/** "97 % ± 2". */
export function paceText({ percent, u }: BodySpeed): string {
  return `${Math.round(percent)} % ± ${Math.max(Math.round(u), 1)}`;
}

/** Where a pace lies beside her own fastballs. "Slowed" is only said of what the server
    names: a rep that merely lies outside of their spread is no finding. fastballs is what
    several of her baseline pitch are called. */
export function besideText({ percent, within }: BodySpeed, fastballs: string, slowed = false): string {
  if (slowed) return "slowed";
  if (within) return `like her own ${fastballs}`;
  return percent < 100 ? `on the slow side of her own ${fastballs}, not shown to be slowed` : `on the fast side of her own ${fastballs}`;
}

/** How closely marks repeat: "Your marks repeat within 9 ms." */
export function eyeWords(eye: Eye): string {
  return `Your marks repeat within ${Math.round(eye.millis)} ms.`;
}

/** What that rests on, and what it is for. */
export function eyeText(eye: Eye): string {
  if (!eye.known) return `How closely you mark is not measured yet; ${Math.round(eye.millis)} ms is taken until it is.`;
  return `Measured on ${eye.marks} marks${eye.day ? `, ${dayText(eye.day)}` : ""}. Every time that hangs on your marks is taken to be as unsure as that.`;
}

/** Her joints are seen on some rep, so that a clip can show how she leans. */
export function jointsAreSeen(reps: readonly Rep[]): boolean {
  return reps.some((r) => r.seen !== undefined);
}

/** The body speed of some rep is known, so that a clip can say it. */
export function bodyIsKnown(reps: readonly Rep[]): boolean {
  return reps.some((r) => r.body?.legs !== undefined);
}
