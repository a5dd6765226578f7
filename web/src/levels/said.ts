// A level in one line.
import type { Level, PitchType } from "../api/types";
import { shown } from "../pitcher/band-text";

/** "43 ft, 12 in ball; change-up 9 to 13 mph". */
export function levelText(l: Level, types: readonly PitchType[]): string {
  const bands = types.flatMap((t) => {
    const b = l.bands[t.code];
    return b ? [`${t.name} ${shown(b.lo)} to ${shown(b.hi)} ${b.unit}`] : [];
  });
  const ball = l.ballKind === "baseball" ? "baseball" : `${l.ballKind} ball`;
  return [`${shown(l.distanceFeet)} ft, ${ball}`, ...bands].join("; ");
}
