// What a deletion takes away, in words.
import type { Removed } from "../api/types";

/** "2 bullpens, 14 reps and 1 film on its way". */
export function countText(r: Removed): string {
  const parts = ([
    [r.bullpens, "bullpen", "bullpens"], [r.films, "film", "films"], [r.reps, "rep", "reps"], [r.clips, "clip", "clips"],
    [r.copies, "clip in an answer", "clips in answers"],
    [r.homework, "homework", "homeworks"], [r.slips, "homework link", "homework links"], [r.shares, "link to a result", "links to results"], [r.typed, "reading from the field", "readings from the field"], [r.uploads, "film on its way", "films on their way"],
  ] as const).filter(([n]) => n > 0).map(([n, one, many]) => `${n} ${n === 1 ? one : many}`);
  return parts.length > 1 ? `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}` : parts[0] ?? "nothing but the name";
}
