// Where everything of a pitcher's weeks lies: one column per bullpen,
// the mean gap as a mark, its spread as a line through it, the band behind.
import type { TrendPoint, Unit } from "../api/types";
import { tenthsText } from "../words/speed";
import { airy, lines, place, type Scale } from "./scale";

export interface Week {
  point: TrendPoint;
  x: number;
  y: number;
  low: number;
  high: number;
}

export interface WeeksLayout {
  width: number;
  height: number;
  left: number;
  bottom: number;
  weeks: Week[];
  /** The lines that join weeks: gaps all of them, readings those from one place of the gun. */
  threads: string[];
  /** The band under each bullpen's own baseline; next to one another where it stays the same, they are one. */
  bands: { x0: number; x1: number; y0: number; y1: number }[];
  rows: { y: number; label: string }[];
  days: { x: number; label: string }[];
  radius: number;
}

interface Speeds {
  mph: number;
  kmh: number;
}

const pick = (s: Speeds, unit: Unit) => (unit === "mph" ? s.mph : s.kmh);

/** What is followed: gaps under the baseline, or the readings of the baseline pitch itself. */
export type Followed = "gap" | "reading";

/** Lays out one pitch's points. */
export function layOutWeeks(points: TrendPoint[], unit: Unit, width: number, height: number, followed: Followed = "gap"): WeeksLayout {
  const meanOf = (p: TrendPoint) => (followed === "gap" ? p.meanGap : p.mean);
  const sdOf = (p: TrendPoint) => (followed === "gap" && p.sdGap ? pick(p.sdGap, unit) : 0);
  const left = 46;
  const top = 16;
  const bottom = height - 30;
  const own = points.filter(meanOf);
  const values = own.flatMap((p) => {
    const mean = pick(meanOf(p)!, unit);
    return [mean - sdOf(p), mean + sdOf(p)];
  });
  const bandOf = (p: TrendPoint) => (followed === "gap" ? p.band : undefined);
  for (const p of own) {
    const band = bandOf(p);
    if (band) values.push(pick(band.lo, unit), pick(band.hi, unit));
  }
  const range = airy(values, 8, 6);
  // A larger gap is further under the fastball, so it lies lower; a faster pitch lies higher.
  const [start, end] = followed === "gap" ? [top, bottom] : [bottom, top];
  const y: Scale = { from: range.from, to: range.to, start, end };
  const step = own.length > 0 ? (width - left - 14) / own.length : 0;
  const weeks = own.map((point, i) => {
    const mean = pick(meanOf(point)!, unit);
    const sd = sdOf(point);
    return { point, x: left + step * (i + 0.5), y: place(y, mean), low: place(y, mean + sd), high: place(y, mean - sd) };
  });
  const bands: WeeksLayout["bands"] = [];
  own.forEach((point, i) => {
    const band = bandOf(point);
    if (!band) return;
    const [x0, x1] = [left + step * i, left + step * (i + 1)];
    const [y0, y1] = [place(y, pick(band.lo, unit)), place(y, pick(band.hi, unit))];
    const last = bands.at(-1);
    if (last && last.x1 === x0 && Math.abs(last.y0 - y0) < 0.01 && Math.abs(last.y1 - y1) < 0.01) last.x1 = x1;
    else bands.push({ x0, x1, y0, y1 });
  });
  const places = followed === "gap" ? [undefined] : [...new Set(own.map((p) => p.gun))];
  const threads = places.map((gun) => weeks.filter((w) => gun === undefined || w.point.gun === gun).map((w, i) => `${i === 0 ? "M" : "L"}${w.x.toFixed(1)} ${w.y.toFixed(1)}`).join(""));
  const every = Math.max(1, Math.ceil(own.length / Math.max(1, Math.floor((width - left) / 74))));
  return {
    width,
    height,
    left,
    bottom,
    weeks,
    threads,
    bands,
    rows: lines(range.from, range.to, range.step).map((v) => ({ y: place(y, v), label: tenthsText(v) })),
    days: weeks.filter((_, i) => i % every === 0).map((w) => ({ x: w.x, label: shortDay(w.point.day) })),
    radius: Math.max(2, Math.min(8, step * 0.3)),
  };
}

/** "12 Apr". */
export function shortDay(day: string): string {
  const date = new Date(`${day}T12:00:00`);
  return date.toLocaleDateString("en-GB", { day: "numeric", month: "short" });
}
