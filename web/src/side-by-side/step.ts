// Two reps on one clock: real seconds from the instant at which they are aligned.
import type { FrameClock } from "../player/clock";

export interface Side {
  clock: FrameClock;
  /** The frame at which this side is aligned. */
  zero: number;
}

/** How much is shown around the instant at most, in real seconds. */
export const before = 2.5;
export const after = 1.5;

/** The stretch of time that both films cover. */
export function span(sides: readonly Side[]): { from: number; to: number } {
  let from = -before;
  let to = after;
  for (const { clock, zero } of sides) {
    from = Math.max(from, clock.realSeconds(zero, 0));
    to = Math.min(to, clock.realSeconds(zero, clock.frames - 1));
  }
  return { from: Math.min(from, 0), to: Math.max(to, 0) };
}

/** The frame a side shows at a time. */
export function frameAt(side: Side, seconds: number): number {
  return side.clock.clamp(side.clock.after(side.zero, seconds));
}

/** The next time at which either side shows another frame: the nearer one. */
export function next(sides: readonly Side[], seconds: number): number {
  const changes = sides
    .map((s) => s.clock.realSeconds(s.zero, s.clock.clamp(frameAt(s, seconds) + 1)))
    .filter((t) => t > seconds + 1e-7);
  return changes.length > 0 ? Math.min(...changes) : seconds;
}

/** The time before, at which either side showed another frame. */
export function previous(sides: readonly Side[], seconds: number): number {
  const changes = sides
    .map((s) => {
      const frame = frameAt(s, seconds);
      const start = s.clock.realSeconds(s.zero, frame);
      return start < seconds - 1e-7 ? start : s.clock.realSeconds(s.zero, s.clock.clamp(frame - 1));
    })
    .filter((t) => t < seconds - 1e-7);
  return changes.length > 0 ? Math.max(...changes) : seconds;
}

/** "0.00 s", "+0.13 s", "-0.42 s". */
export function clockText(seconds: number): string {
  const rounded = Math.round(seconds * 100) / 100;
  return `${rounded > 0 ? "+" : rounded < 0 ? "−" : ""}${Math.abs(rounded).toFixed(2)} s`;
}
