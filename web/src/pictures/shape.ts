// Every pitch has a shape of its own, so that a picture can be read without
// colour and in print.
import type { Pitch } from "../api/types";

const polygons: Record<string, [number, number][]> = {
  diamond: [[0, -1.25], [1.15, 0], [0, 1.25], [-1.15, 0]],
  square: [[-0.9, -0.9], [0.9, -0.9], [0.9, 0.9], [-0.9, 0.9]],
  up: [[0, -1.15], [1.1, 0.85], [-1.1, 0.85]],
  down: [[0, 1.15], [1.1, -0.85], [-1.1, -0.85]],
  hexagon: [[-0.55, -1], [0.55, -1], [1.1, 0], [0.55, 1], [-0.55, 1], [-1.1, 0]],
  cross: [[-0.4, -1.1], [0.4, -1.1], [0.4, -0.4], [1.1, -0.4], [1.1, 0.4], [0.4, 0.4], [0.4, 1.1], [-0.4, 1.1], [-0.4, 0.4], [-1.1, 0.4], [-1.1, -0.4], [-0.4, -0.4]],
  pentagon: [[0, -1.15], [1.1, -0.35], [0.68, 0.95], [-0.68, 0.95], [-1.1, -0.35]],
};

const shapes: Record<Pitch, string> = {
  fb: "circle",
  ch: "diamond",
  os: "down",
  dr: "square",
  ri: "up",
  cu: "hexagon",
  sc: "cross",
  dc: "pentagon",
};

/** The SVG path of a pitch's shape round (x, y), about r in half-width. */
export function shapePath(pitch: Pitch, x: number, y: number, r: number): string {
  const points = polygons[shapes[pitch] ?? "circle"];
  const n = (v: number) => v.toFixed(2);
  if (!points) return `M${n(x - r)} ${n(y)}a${n(r)} ${n(r)} 0 1 0 ${n(2 * r)} 0a${n(r)} ${n(r)} 0 1 0 ${n(-2 * r)} 0Z`;
  return `M${points.map(([px, py]) => `${n(x + px * r)} ${n(y + py * r)}`).join("L")}Z`;
}
