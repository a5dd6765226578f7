// Two reps on one clock: real seconds from the instant at which they are aligned.
import type { FrameClock } from "../player/clock";

export interface Side {
  clock: FrameClock;
  /** The frame at which this side is aligned. */
  zero: number;
  /** It is played so many times as fast as the other one. */
  tempo: number;
}

/** How much is shown around the instant at most, in real seconds. */
export const before = 2.5;
export const after = 1.5;

/** The stretch of time that both films cover. */
export function span(sides: readonly Side[]): { from: number; to: number } {
  let from = -before;
  let to = after;
  for (const side of sides) {
    from = Math.max(from, timeOf(side, 0));
    to = Math.min(to, timeOf(side, side.clock.frames - 1));
  }
  return { from: Math.min(from, 0), to: Math.max(to, 0) };
}

/** The frame a side shows at a time. */
export function frameAt(side: Side, seconds: number): number {
  return side.clock.clamp(side.clock.after(side.zero, seconds * side.tempo));
}

/** The time at which a side begins to show a frame. */
export function timeOf(side: Side, frame: number): number {
  return side.clock.realSeconds(side.zero, frame) / side.tempo;
}

/** The next time at which either side shows another frame: the nearer one. */
export function next(sides: readonly Side[], seconds: number): number {
  const changes = sides
    .map((s) => timeOf(s, s.clock.clamp(frameAt(s, seconds) + 1)))
    .filter((t) => t > seconds + 1e-7);
  return changes.length > 0 ? Math.min(...changes) : seconds;
}

/** The time before, at which either side showed another frame. */
export function previous(sides: readonly Side[], seconds: number): number {
  const changes = sides
    .map((s) => {
      const frame = frameAt(s, seconds);
      const start = timeOf(s, frame);
      return start < seconds - 1e-7 ? start : timeOf(s, s.clock.clamp(frame - 1));
    })
    .filter((t) => t < seconds - 1e-7);
  return changes.length > 0 ? Math.max(...changes) : seconds;
}

/** "0.00 s", "+0.13 s", "-0.42 s". */
export function clockText(seconds: number): string {
  const rounded = Math.round(seconds * 100) / 100;
  return `${rounded > 0 ? "+" : rounded < 0 ? "−" : ""}${Math.abs(rounded).toFixed(2)} s`;
}
