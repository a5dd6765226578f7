// What a clip shows, in words.
import type { Clip, Sheet } from "../api/types";

/** "3. change-up beside 1. fastball". */
export function clipName(clip: Clip, sheet: Pick<Sheet, "reps">): string {
  const names = clip.repIds.map((id) => {
    const rep = sheet.reps.find((r) => r.id === id);
    return rep ? `${rep.order}. ${rep.pitchName}` : "a rep of another bullpen";
  });
  return clip.kind === "pair" ? `${names.join(" beside ")}` : names[0] ?? "clip";
}
