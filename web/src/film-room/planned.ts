// Places along a workout in words.
import type { Place } from "../api/types";

/** "Set 2, no. 3 of 10: Wrist snap, change-up". */
export function placeText(places: readonly Place[], place: Place, name: (code: string) => string): string {
  const inSet = places.filter((p) => p.set === place.set).length;
  return `Set ${place.set}, no. ${place.number} of ${inSet}: ${place.drill || "full pitch"}, ${name(place.pitch)}`;
}

/** "(1 left out before it)", "(repeats the one before)", or nothing. */
export function shiftText(shift: number): string {
  if (shift === 0) return "";
  if (shift > 0) return `(${shift} left out before it)`;
  return shift === -1 ? "(repeats the one before)" : `(${-shift} places back)`;
}
