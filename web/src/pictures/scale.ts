// Straight scales and round axis steps for the pictures.

/** Maps [from, to] of a quantity onto [start, end] of the picture. */
export interface Scale {
  from: number;
  to: number;
  start: number;
  end: number;
}

/** The place of value on the picture. */
export function place(scale: Scale, value: number): number {
  const share = (value - scale.from) / (scale.to - scale.from || 1);
  return scale.start + share * (scale.end - scale.start);
}

/** The round step (1, 2 or 5 times a power of ten) that makes at most `most` lines over span. */
export function roundStep(span: number, most: number): number {
  const least = Math.max(span, 1e-9) / Math.max(most, 1);
  const power = 10 ** Math.floor(Math.log10(least));
  for (const factor of [1, 2, 5]) {
    if (factor * power >= least * (1 - 1e-9)) return factor * power;
  }
  return 10 * power;
}

/** Multiples of step within [from, to]. */
export function lines(from: number, to: number, step: number): number[] {
  const out: number[] = [];
  for (let k = Math.ceil(from / step - 1e-9); k * step <= to + step * 1e-9; k++) out.push(k * step);
  return out;
}

/** [from, to] widened to whole steps with a little air, at least `least` wide. */
export function airy(values: number[], least: number, most: number): { from: number; to: number; step: number } {
  let from = Math.min(...values);
  let to = Math.max(...values);
  if (!Number.isFinite(from)) [from, to] = [0, least];
  if (to - from < least) {
    const middle = (from + to) / 2;
    [from, to] = [middle - least / 2, middle + least / 2];
  }
  const step = roundStep(to - from, most);
  const air = (to - from) * 0.04;
  return { from: Math.floor((from - air) / step) * step, to: Math.ceil((to + air) / step) * step, step };
}
