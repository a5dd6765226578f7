// Instants that tenoff found on a rep beside those that a person marked: which ones
// wait to be accepted, and what is to be seen of a rep from one to the next.
import type { Rep, SeenInstant } from "../../api/types";
import { instants, type Fields, type Instant } from "./change";

/** What accepting a rep's found instants marks: those that are found and not marked yet. */
export function acceptable(rep: Rep): Fields {
  const fields: Fields = {};
  for (const i of instants) {
    const f = rep.found?.[i];
    if (f?.within && rep[i] === undefined) fields[i] = f.frame;
  }
  return fields;
}

/** The instants that have to be marked by hand: looked for, and not really found. */
export function byHand(rep: Rep): Instant[] {
  const { found } = rep;
  return found ? instants.filter((i) => rep[i] === undefined && !found[i].within) : [];
}

/** What her joints show of an instant; of the drive, nothing. */
export function seenOf(rep: Rep, instant: Instant): SeenInstant | undefined {
  return instant === "drive" ? undefined : rep.seen?.[instant];
}

/** Where an instant is: marked, else found, else as her joints show it, or where it would be. */
export function placeOf(rep: Rep, instant: Instant): number | undefined {
  const found = rep.found?.[instant];
  const seen = seenOf(rep, instant);
  if (seen && !found?.within && seen.beside !== "differs") return rep[instant] ?? seen.frame;
  return rep[instant] ?? found?.frame;
}

/** "; her joints put it at frame 131", where these and the mark, or what was found, differ. */
function differing(rep: Rep, instant: Instant): string {
  const seen = seenOf(rep, instant);
  return seen?.beside === "differs" ? `; her joints put it at frame ${seen.frame}` : "";
}

/** The instant to look at after (or before) a frame; past the last one it begins again. */
export function nextInstant(rep: Rep, frame: number, by: -1 | 1): { instant: Instant; frame: number } | undefined {
  const all = instants
    .flatMap((instant) => {
      const at = placeOf(rep, instant);
      return at === undefined ? [] : [{ instant, frame: at }];
    })
    .sort((a, b) => a.frame - b.frame);
  const ordered = by > 0 ? all : [...all].reverse();
  return ordered.find((p) => by * (p.frame - frame) > 0) ?? ordered[0];
}

/** "The plant: found here, 92 % alike. A accepts, 2 marks it elsewhere." */
export function sentenceOfInstant(rep: Rep, instant: Instant): string {
  const key = instants.indexOf(instant) + 1;
  const f = rep.found?.[instant];
  const seen = seenOf(rep, instant);
  const differs = differing(rep, instant);
  if (isAccepted(rep, instant)) return `Rep ${rep.order}, ${instant}: accepted where it was found${withinText(rep, instant)}${differs}. ${key} moves it to the frame on show.`;
  if (rep[instant] !== undefined) return `Rep ${rep.order}, ${instant}: marked here${differs}. ${key} moves it to the frame on show.`;
  if (f && !f.within && differs) return `Rep ${rep.order}, ${instant}: found here${differs}. Step and press ${key} on the right one.`;
  if (!f?.within && seen) return `Rep ${rep.order}, ${instant}: about here, by her joints alone. Step to it and press ${key}.`;
  if (!f) return `Rep ${rep.order}, ${instant}: not marked.`;
  if (!f.within) return `Rep ${rep.order}, ${instant}: not found; it would be about here. Step to it and press ${key}.`;
  return `Rep ${rep.order}, ${instant}: found here${withinText(rep, instant)}, ${alikeText(f.match)}${agreeing(rep, instant)}. A accepts it; or step and press ${key}.`;
}

/** Whether an instant's mark is what was found, accepted and not moved since. */
export function isAccepted(rep: Rep, instant: Instant): boolean {
  const at = rep.found?.[instant].accepted;
  return at !== undefined && rep[instant] === at;
}

/**
 * ", within 3 frames of what the marks say", of what is found less closely than a frame,
 * accepted or not: how far off the marks are themselves comes on top. A mark by hand says
 * nothing of the kind.
 */
export function withinText(rep: Rep, instant: Instant): string {
  const frames = rep[instant] === undefined || isAccepted(rep, instant) ? rep.found?.[instant].within ?? 1 : 1;
  return frames > 1 ? `, within ${frames} frames of what the marks say` : "";
}

/** ", and her joints agree": two witnesses say the same. */
export function agreeing(rep: Rep, instant: Instant): string {
  return seenOf(rep, instant)?.beside === "agrees" ? ", and her joints agree" : "";
}

/** How well it fits, in words. */
export function alikeText(match: number): string {
  return `${Math.round(100 * Math.max(match, 0))} % alike`;
}
