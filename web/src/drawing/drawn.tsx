// Paints shapes over a picture. The ink is the same in both themes: it lies on film.
import type { Shape } from "../api/types";
import { arc, degrees, distance, pixels, pointsOf, type Point, type Size } from "./geometry";

/** Names of the inks, in the order of their numbers. */
export const inks: readonly string[] = ["yellow", "white", "red", "blue"];

interface Props {
  shapes: readonly Shape[];
  size: Size;
  chosen?: number;
}

/** The shapes as SVG content, in the pixels of the picture. */
export function Drawn({ shapes, size, chosen = -1 }: Props) {
  return <>{shapes.map((shape, i) => <g key={i} class={`ink ink-${shape.colour % inks.length}${i === chosen ? " chosen" : ""}`}><Stroke shape={shape} size={size} /></g>)}</>;
}

/** One share of the picture's longer side that type and marks are measured by. */
export const unitOf = ({ width, height }: Size): number => Math.max(width, height) / 100;

function Stroke({ shape, size }: { shape: Shape; size: Size }) {
  const points = pointsOf(shape);
  const [first, second] = points;
  if (!first) return null;
  const unit = unitOf(size);
  const [x, y] = pixels(first, size);
  switch (shape.kind) {
    case "circle":
      return second ? <Twice of={(part) => <circle class={part} cx={x} cy={y} r={distance(first, second, size)} />} /> : null;
    case "note":
      return (
        <>
          <Twice of={(part) => <circle class={part} cx={x} cy={y} r={unit * 0.6} />} />
          <Words at={beside(first, size)} size={size}>{shape.text ?? ""}</Words>
        </>
      );
    case "angle": {
      const d = shape.degrees ?? degrees(points, size);
      const vertex = second ?? first;
      return (
        <>
          <Twice of={(part) => <path class={part} d={path(points, size) + arc(points, size, unit * 4)} />} />
          {d !== undefined && <Words at={beside(vertex, size)} size={size}>{Math.round(d)}°</Words>}
        </>
      );
    }
    default:
      return <Twice of={(part) => <path class={part} d={path(points, size)} />} />;
  }
}

/** Ink on a dark rim, so that it shows on sky and on grass. */
function Twice({ of }: { of: (part: string) => preact.JSX.Element }) {
  return <>{of("rim")}{of("core")}</>;
}

function path(points: readonly Point[], size: Size): string {
  return points.map((p, i) => `${i === 0 ? "M" : "L"}${pixels(p, size).map((v) => v.toFixed(1)).join(" ")}`).join("");
}

/** Where words stand beside a point without leaving the picture. */
function beside(p: Point, size: Size): { x: number; y: number; anchor: "start" | "end" } {
  const unit = unitOf(size);
  const [x, y] = pixels(p, size);
  const right = p[0] < 0.65;
  return { x: right ? x + 1.6 * unit : x - 1.6 * unit, y: Math.max(y - unit, 3.5 * unit), anchor: right ? "start" : "end" };
}

function Words({ at, size, children }: { at: { x: number; y: number; anchor: "start" | "end" }; size: Size; children: preact.ComponentChildren }) {
  return <text x={at.x} y={at.y} text-anchor={at.anchor} font-size={3.2 * unitOf(size)}>{children}</text>;
}
