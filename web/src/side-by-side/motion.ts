// How much moved in the picture round each release, as a line, so that two can be
// laid over each other.

export interface Motion {
  /** Seconds from the release at the first value. */
  from: number;
  /** Seconds between values. */
  step: number;
  /** 0 to 1. */
  values: readonly number[];
}

/** The line; at gives the place of a time counted from the release. */
export function motionPath({ from, step, values }: Motion, at: (seconds: number) => number, height: number): string {
  return values.map((v, k) => `${k === 0 ? "M" : "L"}${at(from + k * step).toFixed(1)} ${((1 - v) * (height - 4) + 2).toFixed(1)}`).join("");
}
