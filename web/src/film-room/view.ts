// How the picture is looked at: the lens, and the loupe where the pointer is.
import { isWhole, panned, panStep, wholePicture, zoomed, zoomStep, type Lens } from "./core/lens";
import type { Look } from "./core/room";

interface Point {
  x: number;
  y: number;
}

export class View {
  lens: Lens = wholePicture;
  loupe = false;
  /** Where the pointer is, or where the loupe was moved by keys, in shares of the picture. */
  at: Point | undefined;

  constructor(
    private readonly changed: () => void,
    /** Where she stands, to look closer at when no pointer says where. */
    private readonly her: () => Point,
  ) {}

  /** The middle of the loupe. */
  get under(): Point {
    return this.at ?? this.her();
  }

  /** What a key asks for. */
  look(asked: Look): void {
    if (asked.look === "whole") return this.set(wholePicture);
    if (asked.look === "zoom") return this.zoom(asked.by > 0 ? zoomStep : 1 / zoomStep, this.at ?? (isWhole(this.lens) ? this.her() : undefined));
    const by = { x: (asked.dx * panStep) / this.lens.zoom, y: (asked.dy * panStep) / this.lens.zoom };
    if (!this.loupe || !isWhole(this.lens)) return this.pan(by.x, by.y);
    const inside = (v: number) => Math.min(Math.max(v, 0), 1);
    this.at = { x: inside(this.under.x + by.x / 4), y: inside(this.under.y + by.y / 4) };
    this.changed();
  }

  zoom(factor: number, at?: Point): void {
    this.set(zoomed(this.lens, factor, at ?? this.lens));
  }

  pan(dx: number, dy: number): void {
    this.set(panned(this.lens, dx, dy));
  }

  point(at: Point | undefined): void {
    this.at = at;
    if (this.loupe) this.changed();
  }

  toggleLoupe(): void {
    this.loupe = !this.loupe;
    this.changed();
  }

  private set(lens: Lens): void {
    this.lens = lens;
    this.changed();
  }
}
