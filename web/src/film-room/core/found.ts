// Instants that tenoff found on a rep beside those that a person marked: which ones
// wait to be accepted, and what is to be seen of a rep from one to the next.
import type { Rep } from "../../api/types";
import { instants, type Fields, type Instant } from "./change";

/** What accepting a rep's found instants marks: those that are sure and not marked yet. */
export function acceptable(rep: Rep): Fields {
  const fields: Fields = {};
  for (const i of instants) {
    const f = rep.found?.[i];
    if (f?.sure && rep[i] === undefined) fields[i] = f.frame;
  }
  return fields;
}

/** The instants that have to be marked by hand: looked for, and not really found. */
export function byHand(rep: Rep): Instant[] {
  const { found } = rep;
  return found ? instants.filter((i) => rep[i] === undefined && !found[i].sure) : [];
}

/** Where an instant is: marked, else found or where it would be. */
export function placeOf(rep: Rep, instant: Instant): number | undefined {
  return rep[instant] ?? rep.found?.[instant]?.frame;
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
  if (rep[instant] !== undefined) return `Rep ${rep.order}, ${instant}: marked here. ${key} moves it to the frame on show.`;
  if (!f) return `Rep ${rep.order}, ${instant}: not marked.`;
  if (!f.sure) return `Rep ${rep.order}, ${instant}: not found; it would be about here. Step to it and press ${key}.`;
  return `Rep ${rep.order}, ${instant}: found here, ${alikeText(f.match)}. A accepts it; or step and press ${key}.`;
}

/** How well it fits, in words. */
export function alikeText(match: number): string {
  return `${Math.round(100 * Math.max(match, 0))} % alike`;
}
