// Where everything of the target lies: every rep of one pitch as a point, across how far
// under her fastball it came in, up how fast her body was. The band and her own
// fastballs' spread cross in the middle of it: right gap, same body. Plain numbers in,
// plain numbers out; the picture is drawn by target.tsx.
import type { Verdict } from "../api/types";
import { lines, place, roundStep, type Scale } from "./scale";

/** One rep. Gap in the picture's unit, body in per cent of her fastballs'; missing where not known. */
export interface Shot {
  id: string;
  order: number;
  gap?: number;
  /** Standard uncertainty of the gap. */
  gapU?: number;
  body?: number;
  bodyU?: number;
}

/** The band in the picture's unit. */
export interface TargetBand {
  lo: number;
  hi: number;
  limit: number;
}

export interface TargetPoint {
  of: Shot;
  x: number;
  y: number;
  /** Half-widths of its cross; 0 where there is none. */
  dx: number;
  dy: number;
}

export interface Zone {
  x0: number;
  x1: number;
  y0: number;
  y1: number;
}

export interface TargetLayout {
  width: number;
  height: number;
  /** The field that gap and body span; without height where no body is known. */
  field: Zone;
  /** The middle: band by same body. Without a spread of hers it is the band's whole height. */
  middle: Zone;
  band: Zone;
  same?: Zone;
  /** The strip of reps known by gap alone, under the field, and by body alone, beside it. */
  under?: Zone;
  beside?: Zone;
  points: TargetPoint[];
  /** What lies below each column, in one line or two. */
  columns: { x: number; lines: string[] }[];
  ticks: { x: number; label: string }[];
  rows: { y: number; label: string }[];
  whole?: number;
  radius: number;
}

/** Whether words at the field's left end stop short of the band, where the good reps lie; the key says them anyway. */
export function roomFor(words: string, { field, band }: Pick<TargetLayout, "field" | "band">): boolean {
  const letter = 7.8; // of the bold panel letters, pixels: a mean, on the wide side
  return words.length * letter < band.x0 - field.x0 - 16;
}

const strip = 44;

/** Of the words over the columns: a line's height, and a letter's mean width. */
export const columnLine = 16;
const columnLetter = 6.2;

/** A column's words in one line, or in two as even ones as can be where they are too wide; none where they still are. */
function fold(words: string, room: number): string[] {
  const longest = (lines: string[]) => Math.max(...lines.map((line) => line.length));
  const parts = words.split(" ");
  const folds = parts.slice(1).map((_, i) => [parts.slice(0, i + 1).join(" "), parts.slice(i + 1).join(" ")]);
  const even = folds.sort((a, b) => longest(a) - longest(b))[0];
  return [[words], even ?? []].find((lines) => columnLetter * longest(lines) <= room) ?? [];
}

/** Points that would lie on one another are moved apart along a strip's short side. */
function apart(points: TargetPoint[], along: "x" | "y", room: number, radius: number): void {
  const across = along === "x" ? "y" : "x";
  const sorted = [...points].sort((a, b) => a[along] - b[along]);
  let lane = 0;
  sorted.forEach((p, i) => {
    const before = sorted[i - 1];
    lane = before && p[along] - before[along] < 2 * radius ? (lane + 1) % 3 : 0;
    p[across] += [0, -1, 1][lane]! * Math.min(room / 2 - radius, 1.4 * radius);
  });
}

export function layOutTarget(shots: readonly Shot[], band: TargetBand, spread: { lo: number; hi: number } | undefined, width: number, height: number, name: (verdict: Verdict) => string = String): TargetLayout {
  const both = shots.filter((s) => s.gap !== undefined && s.body !== undefined);
  const gapOnly = shots.filter((s) => s.gap !== undefined && s.body === undefined);
  const bodyOnly = shots.filter((s) => s.gap === undefined && s.body !== undefined);
  const bodies = [...both, ...bodyOnly];
  const known = bodies.length > 0;
  const left = known ? 56 : 12;
  const right = width - 12 - (bodyOnly.length > 0 ? strip : 0);
  const below = 40;
  const bottom = height - below - (known && gapOnly.length > 0 ? strip + 6 : 0);

  const gaps = [...both, ...gapOnly].map((s) => s.gap!);
  const wide = Math.max(band.limit, band.hi) - band.lo;
  const x: Scale = { from: Math.min(0, ...gaps.map((g) => g - 1)), to: Math.max(band.limit + 0.35 * wide, ...gaps.map((g) => g + 1)), start: left, end: right };
  const words: [number, number, Verdict][] = [
    [x.from, band.lo, "too firm"], [band.lo, band.hi, "in the band"],
    ...(band.limit > band.hi ? [[band.hi, band.limit, "soft"] as [number, number, Verdict]] : []),
    [Math.max(band.limit, band.hi), x.to, "too soft"],
  ];
  const columns = words.map(([from, to, verdict]) => ({ x: (place(x, from) + place(x, to)) / 2, lines: fold(name(verdict), place(x, to) - place(x, from)) })).filter((c) => c.lines.length > 0);
  const top = columns.some((c) => c.lines.length > 1) ? 28 + columnLine : 28;
  const percents = bodies.map((s) => s.body!);
  const low = Math.min(90, ...percents.map((p) => p - 2), spread?.lo ?? 100);
  const high = Math.max(106, ...percents.map((p) => p + 2), spread?.hi ?? 100);
  const y: Scale = { from: low, to: high, start: bottom, end: top };

  const field = { x0: left, x1: right, y0: top, y1: bottom };
  const bandZone = { x0: place(x, band.lo), x1: place(x, band.hi), y0: top, y1: bottom };
  const same = known && spread ? { x0: left, x1: right, y0: Math.max(place(y, spread.hi), top), y1: Math.min(place(y, spread.lo), bottom) } : undefined;
  const middle = { ...bandZone, ...(same ? { y0: same.y0, y1: same.y1 } : {}) };
  const under = known && gapOnly.length > 0 ? { x0: left, x1: right, y0: bottom + 6, y1: bottom + 6 + strip } : undefined;
  const beside = bodyOnly.length > 0 ? { x0: right + 6, x1: right + strip + 6, y0: top, y1: bottom } : undefined;
  const radius = Math.max(5, Math.min(9, width / 60));

  const point = (of: Shot, atX: number, atY: number): TargetPoint => ({
    of, x: atX, y: atY,
    dx: of.gap !== undefined ? ((of.gapU ?? 0) / (x.to - x.from)) * (right - left) : 0,
    dy: of.body !== undefined ? ((of.bodyU ?? 0) / (y.to - y.from)) * (bottom - top) : 0,
  });
  const inField = both.map((s) => point(s, place(x, s.gap!), place(y, s.body!)));
  const onUnder = gapOnly.map((s) => point(s, place(x, s.gap!), under ? (under.y0 + under.y1) / 2 : (top + bottom) / 2));
  const onBeside = bodyOnly.map((s) => point(s, beside ? (beside.x0 + beside.x1) / 2 : right, place(y, s.body!)));
  apart(onUnder, "x", under ? strip : bottom - top, radius);
  apart(onBeside, "y", strip, radius);

  const step = roundStep(x.to - x.from, Math.max(3, Math.floor((right - left) / 60)));
  const upStep = roundStep(high - low, 5);
  return {
    width, height, field, band: bandZone, middle, ...(same ? { same } : {}), ...(under ? { under } : {}), ...(beside ? { beside } : {}),
    points: [...inField, ...onUnder, ...onBeside],
    columns, radius,
    ticks: lines(x.from, x.to, step).map((v) => ({ x: place(x, v), label: String(Math.round(v * 10) / 10) })),
    rows: known ? lines(low, high, upStep).map((v) => ({ y: place(y, v), label: `${Math.round(v)} %` })) : [],
    ...(known ? { whole: place(y, 100) } : {}),
  };
}
