// Where the speeds of legs and arm lie beside her fastball: one line of speed for
// each, in per cent of the fastball's, with the range that the film leaves open.

export interface Ranged {
  speed: number;
  lo: number;
  hi: number;
}

export interface PaceLayout {
  left: number;
  right: number;
  /** As fast as her fastball. */
  whole: number;
  rows: { x: number; x0: number; x1: number }[];
}

/** What is shown at least, per cent: a line of speed that is not all one point. */
const least = { from: 84, to: 108 };

export function layOutPace(paces: readonly Ranged[], left: number, right: number): PaceLayout {
  const from = Math.min(least.from, ...paces.map((p) => p.lo - 3));
  const to = Math.max(least.to, ...paces.map((p) => p.hi + 3));
  const at = (percent: number) => left + ((percent - from) / (to - from)) * (right - left);
  return { left, right, whole: at(100), rows: paces.map((p) => ({ x: at(p.speed), x0: at(p.lo), x1: at(p.hi) })) };
}
