// Where two mean poses lie in their picture.

/** A joint: forward and up in lengths of her trunk, and whether it is seen. */
export type Spot = [number, number, number];

export interface Place { x: number; y: number }

export interface Laid {
  width: number;
  height: number;
  ground: number;
  fast: (Place | undefined)[];
  off: (Place | undefined)[];
  /** What is lit: where, and how far round it. */
  lit: (Place & { r: number })[];
}

/** Pixels to a trunk's length, and room round her for head, feet and words. */
const scale = 110;
const beside = 46;
const above = 52;
const below = 40;

/** Both poses in one picture, one scale, where she stood in one place. */
export function layOutPoses(fast: readonly Spot[], off: readonly Spot[], lit: readonly number[]): Laid | undefined {
  const seen = [...fast, ...off].filter((s) => s[2] > 0);
  if (seen.length === 0) return undefined;
  const left = Math.min(...seen.map((s) => s[0]));
  const right = Math.max(...seen.map((s) => s[0]));
  const top = Math.max(...seen.map((s) => s[1]));
  const bottom = Math.min(0, ...seen.map((s) => s[1]));
  const place = (s: Spot) => (s[2] > 0 ? { x: beside + (s[0] - left) * scale, y: above + (top - s[1]) * scale } : undefined);
  const laid = { fast: fast.map(place), off: off.map(place) };
  const middles = lit.flatMap((joint) => {
    const both = [laid.fast[joint], laid.off[joint]].filter((p) => p !== undefined);
    if (both.length < 2) return [];
    const [a, b] = both as [Place, Place];
    return [{ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, r: Math.hypot(a.x - b.x, a.y - b.y) / 2 + 16 }];
  });
  return {
    width: (right - left) * scale + 2 * beside,
    height: (top - bottom) * scale + above + below,
    ground: above + top * scale,
    ...laid, lit: middles,
  };
}
