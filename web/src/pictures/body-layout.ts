// Where everything of a picture of body speed lies: one mark after another in per
// cent of her fastball, each with its range, over the spread of her own fastballs.
import { airy, lines, place, type Scale } from "./scale";

/** One speed of the legs, per cent of her fastball's, and its range. */
export interface Paced {
  percent: number;
  lo: number;
  hi: number;
}

export interface BodyDot<P extends Paced> {
  of: P;
  x: number;
  y: number;
  /** Ends of the line that shows how sure it is, upper and lower. */
  high: number;
  low: number;
}

export interface BodyLayout<P extends Paced> {
  width: number;
  height: number;
  left: number;
  right: number;
  dots: BodyDot<P>[];
  /** The spread of her own fastballs. */
  spread?: { y0: number; y1: number };
  /** As fast as her fastball. */
  whole: number;
  rows: { y: number; label: string }[];
  radius: number;
}

/** Faster lies higher. Below a picture of days there is room for their names. */
export function layOutBody<P extends Paced>(paced: readonly P[], spread: { lo: number; hi: number } | undefined, width: number, height: number, below = 14): BodyLayout<P> {
  const left = 58;
  const right = width - 10;
  const values = paced.flatMap((p) => [p.lo, p.hi]);
  const range = airy([100, ...values, ...(spread ? [spread.lo, spread.hi] : [])], 12, 5);
  const y: Scale = { from: range.from, to: range.to, start: height - below, end: 12 };
  const step = paced.length > 0 ? (right - left) / paced.length : 0;
  return {
    width, height, left, right,
    dots: paced.map((of, i) => ({
      of, x: left + step * (i + 0.5), y: place(y, of.percent), high: place(y, of.hi), low: place(y, of.lo),
    })),
    ...(spread ? { spread: { y0: place(y, spread.hi), y1: place(y, spread.lo) } } : {}),
    whole: place(y, 100),
    rows: lines(range.from, range.to, range.step).map((v) => ({ y: place(y, v), label: `${Math.round(v)} %` })),
    radius: Math.max(2, Math.min(8, step * 0.34)),
  };
}
