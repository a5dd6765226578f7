// Where two balls stand on their way from the hand to the plate. The shares of the way are
// the server's; here they only become places in a picture.
import type { Instant } from "../api/types";

export interface Lane {
  /** The hand and the plate. */
  from: number;
  to: number;
}

/** The lane of a picture so wide: room for a ball before it, for plate and bat after it. */
export const laneIn = (width: number): Lane => ({ from: 14, to: width - 40 });

/** Where a ball is that has come so much of its way, 0 to 1. */
export const placeOn = (lane: Lane, share: number): number => lane.from + share * (lane.to - lane.from);

/** Where both are at any moment between two of the track; at its ends before and after it. */
export function between(track: readonly Instant[], seconds: number): { fast: number; slow: number } {
  const next = track.findIndex((t) => t.seconds >= seconds);
  const b = track[next] ?? track[track.length - 1]!;
  const a = track[Math.max(next - 1, 0)]!;
  if (next <= 0 || b.seconds === a.seconds) return { fast: next < 0 ? b.fast : a.fast, slow: next < 0 ? b.slow : a.slow };
  const part = (seconds - a.seconds) / (b.seconds - a.seconds);
  return { fast: a.fast + part * (b.fast - a.fast), slow: a.slow + part * (b.slow - a.slow) };
}

/** How far apart two balls stand at least, so that neither hides the other: their shapes touch. */
export const apart = (x: number, other: number, radius: number): number => Math.min(x, other - 2 * radius);

/** How large a length is said: whole feet from three on, else with its tenth; metres always with it. */
export function lengthIn(length: { feet: number; metres: number }, metric: boolean): number {
  const v = metric ? length.metres : length.feet;
  return !metric && v >= 2.95 ? Math.round(v) : Math.round(10 * v) / 10;
}
