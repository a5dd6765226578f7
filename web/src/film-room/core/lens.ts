// Which part of the film's picture is looked at: how much larger than whole, and what
// lies in the middle. Places are in shares of the picture, 0 to 1 from its top left.
import type { Box } from "./box";

export interface Lens {
  /** 1 is the whole picture. */
  readonly zoom: number;
  readonly x: number;
  readonly y: number;
}

export const wholePicture: Lens = { zoom: 1, x: 0.5, y: 0.5 };
/** As close as it goes: a pixel of the film is then several of the screen. */
export const closestZoom = 12;
/** One press of a key. */
export const zoomStep = 1.5;
/** One press of an arrow moves by this share of what is seen. */
export const panStep = 0.12;

export const isWhole = (lens: Lens): boolean => lens.zoom <= 1;

/** Closer (a factor above 1) or wider, so that what lies at a place stays where it is. */
export function zoomed(lens: Lens, factor: number, at: { x: number; y: number } = lens): Lens {
  const zoom = Math.min(Math.max(lens.zoom * factor, 1), closestZoom);
  // The place keeps its distance from the middle on the screen.
  const keep = (place: number, middle: number) => place - ((place - middle) * lens.zoom) / zoom;
  return within({ zoom, x: keep(at.x, lens.x), y: keep(at.y, lens.y) });
}

/** Moved by shares of the picture. */
export function panned(lens: Lens, dx: number, dy: number): Lens {
  return within({ ...lens, x: lens.x + dx, y: lens.y + dy });
}

/** The part of the picture that is seen. */
export function seen({ zoom, x, y }: Lens): Box {
  return { x: x - 0.5 / zoom, y: y - 0.5 / zoom, width: 1 / zoom, height: 1 / zoom };
}

/** Where a point of what is seen, in shares of that, lies in the picture. */
export function under(lens: Lens, x: number, y: number): { x: number; y: number } {
  const part = seen(lens);
  return { x: part.x + x * part.width, y: part.y + y * part.height };
}

/** The picture drawn so that what is seen fills its place, as CSS says it. */
export function drawnAs(lens: Lens): string {
  if (isWhole(lens)) return "none";
  const part = seen(lens);
  return `scale(${lens.zoom}) translate(${-100 * part.x}%, ${-100 * part.y}%)`;
}

/** No closer than it goes, and never beyond the picture. */
function within({ zoom, x, y }: Lens): Lens {
  const half = 0.5 / zoom;
  const inside = (v: number) => Math.min(Math.max(v, half), 1 - half);
  return zoom <= 1 ? wholePicture : { zoom, x: inside(x), y: inside(y) };
}
