// The line from bullpen to bullpen: it breaks where the gun was read from another place,
// since readings from two places can't be compared.
import type { GunPlace } from "../api/types";

export interface Stop {
  x: number;
  y: number;
  /** Undefined where it is not known. */
  gun?: GunPlace | undefined;
}

/** The path through stops in their order. */
export function wayOf(stops: readonly Stop[]): string {
  return stops.map((s, i) => `${joins(stops[i - 1], s) ? "L" : "M"}${s.x.toFixed(1)} ${s.y.toFixed(1)}`).join("");
}

const joins = (before: Stop | undefined, s: Stop) => before !== undefined && (!before.gun || !s.gun || before.gun === s.gun);
