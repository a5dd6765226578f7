// How a rep's shape on the target is filled.
import type { Judged, RepBody } from "../api/types";

export type Fill = "full" | "half" | "empty";

/** Full: right gap, and the body is said to be the same or was not filmed. Half: right gap,
    and of the body this film can't tell. */
export function fillOf({ judged, body }: { judged: Pick<Judged, "verdict">; body?: Pick<RepBody, "legs" | "verdict" | "told"> }): Fill {
  if (judged.verdict !== "in the band" || body?.verdict) return "empty";
  if (!body?.legs || body.told === "same body") return "full";
  return body.told === undefined || body.told === "can't tell" ? "half" : "empty";
}
