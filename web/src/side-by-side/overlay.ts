// Two pictures over each other. They are drawn onto a canvas: not every browser mixes
// films that lie one over the other on the page.

export type Overlay = "blended" | "difference";

/** How much brighter a difference is shown: what is left of two like pictures is dark. */
const brighter = 1.8;
/** Pixels across, at most: more are not seen. */
const widest = 1280;

/** A picture that can be drawn, as much of it as matters here. */
type Picture = HTMLVideoElement;

/** Draws two pictures, the second one with the share mix, or only what differs. */
export function overlay(canvas: HTMLCanvasElement, first: Picture, second: Picture, how: Overlay, mix: number): void {
  if (first.videoWidth === 0) return;
  const scale = Math.min(1, widest / first.videoWidth);
  const [width, height] = [Math.round(first.videoWidth * scale), Math.round(first.videoHeight * scale)];
  if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  const g = canvas.getContext("2d");
  if (!g) return;
  g.globalCompositeOperation = "source-over";
  g.globalAlpha = 1;
  g.fillStyle = "#000";
  g.fillRect(0, 0, width, height);
  g.drawImage(first, 0, 0, width, height);
  if (second.videoWidth === 0) return;
  const at = fitted(second.videoWidth, second.videoHeight, width, height);
  const still = stillOf(second, at[2], at[3]);
  if (how === "blended") {
    g.globalAlpha = mix;
    g.drawImage(still, ...at);
    return;
  }
  g.globalCompositeOperation = "difference";
  g.drawImage(still, ...at);
  g.globalCompositeOperation = "lighter";
  g.globalAlpha = brighter - 1;
  g.drawImage(canvas, 0, 0);
}

let aside: HTMLCanvasElement | undefined;

/** A film's picture as one that can be mixed: WebKitGTK lays a film over what is there, whatever it is told. */
function stillOf(film: Picture, width: number, height: number): HTMLCanvasElement {
  aside ??= document.createElement("canvas");
  Object.assign(aside, { width: Math.round(width), height: Math.round(height) });
  aside.getContext("2d")?.drawImage(film, 0, 0, aside.width, aside.height);
  return aside;
}

/** Where a picture lies that fills as much of another as its own shape lets it: left, top, width, height. */
export function fitted(width: number, height: number, intoWidth: number, intoHeight: number): [number, number, number, number] {
  const scale = Math.min(intoWidth / width, intoHeight / height);
  return [(intoWidth - width * scale) / 2, (intoHeight - height * scale) / 2, width * scale, height * scale];
}
