// Drawing on one frame: the tool in hand, the shape being made, what can be taken
// back. It knows no browser; pointer and keyboard come in as points and keys.
import type { Shape, ShapeKind } from "../api/types";
import { pixels, pointsOf, shapeAt, thinned, wanted, within, type Point, type Size } from "./geometry";

/** A frame that can be drawn on. */
export interface Place {
  repId: string;
  frame: number;
}

export interface SketchState {
  tool: ShapeKind;
  colour: number;
  shapes: readonly Shape[];
  /** Points of the shape being made; the last one follows the pointer. */
  pending: readonly Point[];
  /** Where the keyboard's cursor is. */
  cursor: Point;
  /** The cursor is shown: the keyboard is used. */
  byKeys: boolean;
  /** A note's words are being typed; its place. */
  typing: Point | undefined;
  /** The shape to be rubbed out next; -1: none is chosen. */
  chosen: number;
}

/** What a frame's shapes become; called for every change that is to be kept. */
export type Keep = (shapes: readonly Shape[]) => void;

/** The most shapes on one frame. */
export const mostShapes = 100;

/** Pixels of the picture within which a stroke may be thinned. */
const slack = 1.5;

export class Sketch {
  state: SketchState = { tool: "line", colour: 0, shapes: [], pending: [], cursor: [0.5, 0.5], byKeys: false, typing: undefined, chosen: -1 };
  private past: (readonly Shape[])[] = [];
  private future: (readonly Shape[])[] = [];
  private dragging = false;

  constructor(
    private size: Size,
    private readonly keep: Keep,
    private readonly changed: () => void,
  ) {}

  /** Another frame, or this one as the server has it. Nothing of it can be taken back. */
  open(shapes: readonly Shape[], size: Size): void {
    this.size = size;
    this.past = [];
    this.future = [];
    this.set({ shapes, pending: [], typing: undefined, chosen: -1 });
  }

  /** The server's word on the same shapes, angles counted; what can be taken back stays. */
  confirm(shapes: readonly Shape[]): void {
    if (shapes.length === this.state.shapes.length) this.set({ shapes });
  }

  get canUndo(): boolean {
    return this.state.pending.length > 0 || this.past.length > 0;
  }

  get canRedo(): boolean {
    return this.future.length > 0;
  }

  pick(tool: ShapeKind): void {
    this.set({ tool, pending: [], typing: undefined, chosen: -1 });
  }

  ink(colour: number): void {
    this.set({ colour });
  }

  /** The pointer goes down. A shape is made by dragging or point by point. */
  press(at: Point): void {
    this.dragging = true;
    this.set({ byKeys: false });
    this.put(within(at));
  }

  /** The pointer or the cursor moves. */
  move(at: Point): void {
    const { tool, pending } = this.state;
    if (pending.length === 0) return;
    const to = within(at);
    if (tool === "freehand") {
      if (this.dragging || this.state.byKeys) this.set({ pending: [...pending, to] });
      return;
    }
    this.set({ pending: [...pending.slice(0, -1), to] });
  }

  /** The pointer is let go. */
  release(at: Point): void {
    if (!this.dragging) return;
    this.dragging = false;
    const { tool, pending } = this.state;
    if (pending.length === 0) return;
    if (tool === "freehand") return this.finish(pending);
    const before = pending.at(-2);
    // A click without a drag leaves the next point to the next click.
    if (before && this.apart(before, within(at)) > 6) this.put(within(at));
  }

  /** A key, by its name; false when it means nothing here. */
  key(name: string, shift = false): boolean {
    const step = shift ? 0.05 : 0.01;
    const by: Record<string, Point> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    const move = by[name];
    if (move) {
      const [x, y] = this.state.cursor;
      const cursor = within([x + move[0], y + move[1]]);
      this.set({ cursor, byKeys: true });
      this.move(cursor);
      return true;
    }
    if (name === " " || name === "Enter") {
      this.set({ byKeys: true });
      if (this.state.tool === "freehand" && this.state.pending.length > 0) this.finish(this.state.pending);
      else this.put(this.state.cursor);
      return true;
    }
    if (name === "Delete" || name === "Backspace") {
      this.rub();
      return true;
    }
    if (name === "Tab" || name !== "Escape") return false;
    if (this.state.pending.length === 0 && !this.state.typing && this.state.chosen < 0) return false;
    this.set({ pending: [], typing: undefined, chosen: -1 });
    return true;
  }

  /** The words of the note that is being typed; none: no note. */
  write(words: string): void {
    const { typing, colour } = this.state;
    this.set({ typing: undefined });
    if (typing && words.trim() !== "") this.add({ kind: "note", points: [[...typing]], colour, text: words.trim() });
  }

  /** Chooses the shape at a place, to be rubbed out. */
  choose(at: Point, reach: number): void {
    this.set({ chosen: shapeAt(at, this.state.shapes, this.size, reach) });
  }

  /** Rubs out the chosen shape, or the last one. */
  rub(index = this.state.chosen >= 0 ? this.state.chosen : this.state.shapes.length - 1): void {
    if (this.state.pending.length > 0) return this.set({ pending: [] });
    if (this.state.shapes[index]) this.become(this.state.shapes.filter((_, i) => i !== index));
  }

  undo(): void {
    if (this.state.pending.length > 0) return this.set({ pending: [] });
    const before = this.past.pop();
    if (!before) return;
    this.future.push(this.state.shapes);
    this.set({ shapes: before, chosen: -1 });
    this.keep(before);
  }

  redo(): void {
    const after = this.future.pop();
    if (!after) return;
    this.past.push(this.state.shapes);
    this.set({ shapes: after, chosen: -1 });
    this.keep(after);
  }

  /** Puts a point; the last one that a shape needs finishes it. */
  private put(at: Point): void {
    const { tool, pending } = this.state;
    if (this.state.shapes.length >= mostShapes) return;
    if (tool === "note") return this.set({ typing: at });
    // The last point so far followed the pointer: now it stays.
    const points = pending.length > 0 ? [...pending.slice(0, -1), at] : [at];
    if (points.length >= wanted[tool]) return this.finish(points);
    this.set({ pending: tool === "freehand" ? points : [...points, at] });
  }

  private finish(points: readonly Point[]): void {
    const { tool, colour } = this.state;
    this.dragging = false;
    this.set({ pending: [] });
    const kept = tool === "freehand" ? thinned(points, this.size, slack) : [...points];
    if (kept.length < 2 || kept.every((p) => this.apart(p, kept[0]!) < 3)) return;
    this.add({ kind: tool, points: kept.map((p) => [...p]), colour });
  }

  private add(shape: Shape): void {
    this.become([...this.state.shapes, shape]);
  }

  private become(shapes: readonly Shape[]): void {
    this.past.push(this.state.shapes);
    this.future = [];
    this.set({ shapes, chosen: -1 });
    this.keep(shapes);
  }

  private apart(a: Point, b: Point): number {
    const [ax, ay] = pixels(a, this.size);
    const [bx, by] = pixels(b, this.size);
    return Math.hypot(ax - bx, ay - by);
  }

  private set(change: Partial<SketchState>): void {
    this.state = { ...this.state, ...change };
    this.changed();
  }
}

/** A shape in a few words, for a list. */
export function sentence(shape: Shape): string {
  const [first] = pointsOf(shape);
  const where = first ? `, ${first[1] < 0.4 ? "high" : first[1] > 0.6 ? "low" : "at half height"}, ${first[0] < 0.4 ? "left" : first[0] > 0.6 ? "right" : "in the middle"}` : "";
  if (shape.kind === "note") return `Note: ${shape.text ?? ""}`;
  if (shape.kind === "angle" && shape.degrees !== undefined) return `Angle of ${Math.round(shape.degrees)}°${where}`;
  return `${{ line: "Line", angle: "Angle", circle: "Circle", freehand: "Stroke" }[shape.kind]}${where}`;
}
