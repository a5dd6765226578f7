// The pitcher's box: a part of the picture in shares of it, and how it is moved and
// stretched without leaving the picture.
export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** The least width and height: the server takes no smaller one. */
export const least = 0.05;

/** What is offered where none was found. */
export const middle: Box = { x: 0.25, y: 0.05, width: 0.5, height: 0.9 };

export type Corner = "top left" | "top right" | "bottom left" | "bottom right";
export const corners: readonly Corner[] = ["top left", "top right", "bottom right", "bottom left"];

const within = (v: number, from: number, to: number) => Math.min(Math.max(v, from), to);

/** The box moved by shares of the picture, as far as it goes. */
export function moved(box: Box, dx: number, dy: number): Box {
  return tidy({ ...box, x: within(box.x + dx, 0, 1 - box.width), y: within(box.y + dy, 0, 1 - box.height) });
}

/** The box with one corner moved, the opposite one staying where it is. */
export function stretched(box: Box, corner: Corner, dx: number, dy: number): Box {
  const [right, bottom] = [box.x + box.width, box.y + box.height];
  const out = { ...box };
  if (corner.endsWith("left")) {
    out.x = within(box.x + dx, 0, right - least);
    out.width = right - out.x;
  } else {
    out.width = within(box.width + dx, least, 1 - box.x);
  }
  if (corner.startsWith("top")) {
    out.y = within(box.y + dy, 0, bottom - least);
    out.height = bottom - out.y;
  } else {
    out.height = within(box.height + dy, least, 1 - box.y);
  }
  return tidy(out);
}

/** Where a picture of an aspect (width over height) lies in a place it is fitted into. */
export function fitted(width: number, height: number, aspect: number): { left: number; top: number; width: number; height: number } {
  const wide = Math.min(width, height * aspect);
  const high = Math.min(height, width / aspect);
  return { left: (width - wide) / 2, top: (height - high) / 2, width: wide, height: high };
}

/** How an arrow key moves, in steps right and down; undefined for any other key. */
export function arrow(key: string): { dx: number; dy: number } | undefined {
  switch (key) {
    case "ArrowLeft": return { dx: -1, dy: 0 };
    case "ArrowRight": return { dx: 1, dy: 0 };
    case "ArrowUp": return { dx: 0, dy: -1 };
    case "ArrowDown": return { dx: 0, dy: 1 };
  }
  return undefined;
}

/** No digits finer than anybody can see. */
function tidy({ x, y, width, height }: Box): Box {
  const round = (v: number) => Math.round(v * 10000) / 10000;
  return { x: round(x), y: round(y), width: round(width), height: round(height) };
}
