// The geometry of what is drawn on a frame. Points are shares of the picture's width
// and height from the top left; angles and distances are those of the picture's own
// pixels, so that a square frame and a tall one say the same.
import type { Shape, ShapeKind } from "../api/types";

export type Point = readonly [x: number, y: number];

/** A picture's size in pixels. */
export interface Size {
  width: number;
  height: number;
}

/** How many points a shape is given before it is whole; freehand has as many as it likes. */
export const wanted: Readonly<Record<ShapeKind, number>> = { line: 2, angle: 3, circle: 2, freehand: Infinity, note: 1 };

/** The most points of one freehand stroke. */
export const mostPoints = 2000;

/** The point, brought back into the picture. */
export function within([x, y]: Point): Point {
  const share = (v: number) => Math.min(Math.max(v, 0), 1);
  return [share(x), share(y)];
}

export function pixels([x, y]: Point, { width, height }: Size): Point {
  return [x * width, y * height];
}

export const pointsOf = (shape: Pick<Shape, "points">): Point[] => shape.points.map((p) => [p?.[0] ?? 0, p?.[1] ?? 0] as const);

/** Pixels between two points. */
export function distance(a: Point, b: Point, size: Size): number {
  const [ax, ay] = pixels(a, size);
  const [bx, by] = pixels(b, size);
  return Math.hypot(ax - bx, ay - by);
}

/** Degrees at the middle of three points, 0 to 180; undefined where a leg has no length. */
export function degrees(points: readonly Point[], size: Size): number | undefined {
  const [a, vertex, b] = points;
  if (!a || !vertex || !b) return undefined;
  const [vx, vy] = pixels(vertex, size);
  const leg = (p: Point): Point => [pixels(p, size)[0] - vx, pixels(p, size)[1] - vy];
  const [ax, ay] = leg(a);
  const [bx, by] = leg(b);
  if ((ax === 0 && ay === 0) || (bx === 0 && by === 0)) return undefined;
  return (Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) * 180) / Math.PI;
}

/** The little arc between the legs of an angle, as an SVG path in pixels. */
export function arc(points: readonly Point[], size: Size, radius: number): string {
  const [a, vertex, b] = points;
  if (!a || !vertex || !b || degrees(points, size) === undefined) return "";
  const [vx, vy] = pixels(vertex, size);
  const end = (p: Point): Point => {
    const [x, y] = pixels(p, size);
    const length = Math.hypot(x - vx, y - vy);
    return [vx + (radius * (x - vx)) / length, vy + (radius * (y - vy)) / length];
  };
  const [ax, ay] = end(a);
  const [bx, by] = end(b);
  const sweep = (ax - vx) * (by - vy) - (ay - vy) * (bx - vx) > 0 ? 1 : 0;
  const n = (v: number) => v.toFixed(1);
  return `M${n(ax)} ${n(ay)}A${n(radius)} ${n(radius)} 0 0 ${sweep} ${n(bx)} ${n(by)}`;
}

/** Pixels from a point to the stretch between two others. */
export function toStretch(p: Point, a: Point, b: Point, size: Size): number {
  const [px, py] = pixels(p, size);
  const [ax, ay] = pixels(a, size);
  const [bx, by] = pixels(b, size);
  const [dx, dy] = [bx - ax, by - ay];
  const long = dx * dx + dy * dy;
  const along = long === 0 ? 0 : Math.min(Math.max(((px - ax) * dx + (py - ay) * dy) / long, 0), 1);
  return Math.hypot(px - ax - along * dx, py - ay - along * dy);
}

/** Pixels from a point to the nearest ink of a shape. */
export function toShape(p: Point, shape: Shape, size: Size): number {
  const points = pointsOf(shape);
  const [first, second] = points;
  if (!first) return Infinity;
  if (shape.kind === "circle" && second) return Math.abs(distance(p, first, size) - distance(first, second, size));
  if (!second) return distance(p, first, size);
  return Math.min(...points.slice(1).map((b, i) => toStretch(p, points[i]!, b, size)));
}

/** The index of the topmost shape whose ink is at most so many pixels away; -1: none. */
export function shapeAt(p: Point, shapes: readonly Shape[], size: Size, reach: number): number {
  for (let i = shapes.length - 1; i >= 0; i--) if (toShape(p, shapes[i]!, size) <= reach) return i;
  return -1;
}

/**
 * A freehand stroke with the points left out that lie within so many pixels of the
 * stroke without them (Ramer 1972; Douglas and Peucker 1973), and no more than the most.
 */
export function thinned(points: readonly Point[], size: Size, slack: number): Point[] {
  if (points.length < 3) return [...points];
  const keep = new Set([0, points.length - 1]);
  const stretches: [number, number][] = [[0, points.length - 1]];
  for (let s = stretches.pop(); s; s = stretches.pop()) {
    const [from, to] = s;
    let far = 0;
    let at = -1;
    for (let i = from + 1; i < to; i++) {
      const off = toStretch(points[i]!, points[from]!, points[to]!, size);
      if (off > far) [far, at] = [off, i];
    }
    if (at < 0 || far <= slack) continue;
    keep.add(at);
    stretches.push([from, at], [at, to]);
  }
  const kept = points.filter((_, i) => keep.has(i));
  return kept.length > mostPoints ? thinned(points, size, slack * 2) : kept;
}
