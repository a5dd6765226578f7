// What is drawn, over the film's picture; while drawing is on, the pointer's too.
import { useRef } from "preact/hooks";
import type { Shape } from "../api/types";
import { useOffice } from "./office";
import { useWatched } from "./watch";
import { Drawn, unitOf } from "../drawing/drawn";
import { pixels, wanted, type Point } from "../drawing/geometry";
import type { SketchState } from "../drawing/sketch";

export function DrawingLayer() {
  const office = useOffice();
  const { board } = office;
  const svg = useRef<SVGSVGElement>(null);
  const state = useWatched(office.onShow, () => board.sketch.state);
  const open = useWatched(office.onShow, () => board.open);
  const playing = useWatched(office.onShow, () => office.room.state.playing);
  const film = useWatched(office.onShow, () => office.film);
  if (!film || (!open && (playing || state.shapes.length === 0))) return null;
  const size = { width: film.width, height: film.height };
  const at = (event: PointerEvent): Point | undefined => {
    // The layer has the film's shape, and where it lies on the screen counts the lens in.
    const r = svg.current?.getBoundingClientRect();
    return r && r.width > 0 ? [(event.clientX - r.left) / r.width, (event.clientY - r.top) / r.height] : undefined;
  };
  const does = (act: (p: Point) => void) => (event: PointerEvent) => {
    if (!open) return;
    event.stopPropagation();
    const p = at(event);
    if (p) act(p);
  };
  const unit = unitOf(size);
  const [x, y] = pixels(state.cursor, size);
  return (
    <svg
      ref={svg}
      class={`drawing-layer${open ? " open" : ""}`}
      viewBox={`0 0 ${size.width} ${size.height}`}
      role="img"
      aria-label={open ? "The frame that is drawn on; arrow keys and Enter put points, Esc ends" : "What is drawn on this frame"}
      onPointerDown={(event) => {
        if (!open || event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        does((p) => board.sketch.press(p))(event);
      }}
      // The keyboard stays where drawing puts it, in a note's field.
      onMouseDown={(event) => open && event.preventDefault()}
      onPointerMove={does((p) => board.sketch.move(p))}
      onPointerUp={does((p) => board.sketch.release(p))}
    >
      <Drawn shapes={[...state.shapes, ...growing(state)]} size={size} chosen={state.chosen} />
      {open && state.byKeys && <path class="drawing-cursor" d={`M${x - 2 * unit} ${y}h${4 * unit}M${x} ${y - 2 * unit}v${4 * unit}`} />}
    </svg>
  );
}

/** The shape being made, as far as it is one. */
function growing({ tool, pending, colour }: SketchState): Shape[] {
  if (pending.length < 2) return [];
  const kind = tool === "angle" && pending.length < wanted.angle ? "line" : tool;
  return [{ kind, points: pending.map((p) => [...p]), colour }];
}
