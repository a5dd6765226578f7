// A target in small, for lists: the same picture as target-layout.ts lays out, without
// its reps' names. Plain numbers in, plain numbers out.
import { place, type Scale } from "./scale";

export interface SmallShot {
  gap?: number;
  body?: number;
  well: boolean;
  half?: boolean;
}

export interface SmallBand {
  lo: number;
  hi: number;
  limit: number;
}

export interface SmallLayout {
  band: { x0: number; x1: number };
  /** Her own fastballs' spread, and where its name has room; missing where no body is known. */
  same?: { y0: number; y1: number; label?: { x: number; width: number } };
  /** The middle: right gap, same body. */
  middle: { x0: number; x1: number; y0: number; y1: number };
  /** Where the strip of reps known by gap alone begins. */
  strip?: number;
  points: { x: number; y: number; fill: "full" | "half" | "empty" }[];
}

const edge = 7;

/** How far a point reaches to either side, with its line. */
const reach = 5;

/** Where the name of her fastballs' spread begins, and how wide it is at most and at least. */
const label = { x: 5, most: 60, least: 44 };

/** How wide a letter of a label is at most, on average: 11 px, semibold. */
const letter = 6.6;

/** Where a label's middle stands: over what it names, or as near to that as it has room. */
export function labelAt(middle: number, label: string, width: number): number {
  const half = Math.min((letter * label.length) / 2, width / 2);
  return Math.min(Math.max(middle, half), width - half);
}

export function layOutSmall(shots: readonly SmallShot[], band: SmallBand, own: { lo: number; hi: number } | undefined, width: number, height: number): SmallLayout {
  const gaps = shots.flatMap((s) => s.gap ?? []);
  const bodies = shots.flatMap((s) => s.body ?? []);
  const wide = Math.max(band.limit, band.hi) - band.lo;
  const x: Scale = { from: Math.min(0, ...gaps), to: Math.max(band.limit + 0.35 * wide, ...gaps), start: edge, end: width - edge };
  const known = bodies.length > 0;
  const alone = shots.some((s) => s.gap !== undefined && s.body === undefined);
  const bottom = known && alone ? height - 16 : height;
  const y: Scale = { from: Math.min(90, ...bodies, own?.lo ?? 100), to: Math.max(106, ...bodies, own?.hi ?? 100), start: bottom - edge, end: edge };
  const inBand = { x0: place(x, band.lo), x1: place(x, band.hi) };
  const spread = known && own ? { y0: place(y, own.hi), y1: place(y, own.lo) } : undefined;
  const on = (s: SmallShot) => ({
    // Without a gap it stands at the right edge, without a body on the strip.
    x: s.gap === undefined ? width - edge : place(x, s.gap),
    y: s.body !== undefined ? place(y, s.body) : known ? (bottom + height) / 2 : height / 2,
    fill: s.well ? "full" as const : s.half ? "half" as const : "empty" as const,
  });
  const points = shots.filter((s) => s.gap !== undefined || s.body !== undefined).map(on);
  const beside = points.filter((p) => spread && p.y > spread.y0 - reach && p.y < spread.y1 + reach).map((p) => p.x - reach);
  const room = Math.min(label.most, Math.min(inBand.x0 - 2, ...beside) - label.x);
  const same = spread && { ...spread, ...(room >= label.least ? { label: { x: label.x, width: room } } : {}) };
  return {
    band: inBand, ...(same ? { same } : {}), middle: { ...inBand, y0: same?.y0 ?? 0, y1: same?.y1 ?? bottom },
    ...(known && alone ? { strip: bottom } : {}),
    points,
  };
}
