// The drawings of a film room: those of the chosen rep, the one on the frame on show,
// and their way to the server. Saved after every stroke, one after the other.
import { APIError, ask, sentenceOf } from "../api/client";
import type { Drawing, Shape, ShapeKind } from "../api/types";
import type { Size } from "./geometry";
import { Sketch, type Place } from "./sketch";

/** What the film room shows; no place: there is nothing to draw on. */
export interface Shown {
  place: Place | undefined;
  size: Size;
  /** Another frame is on its way to the screen: what were drawn now would be on the one that goes. */
  coming: boolean;
}

/** Keys while drawing, beside those of the sketch. */
export const toolKeys: Readonly<Record<string, ShapeKind>> = { l: "line", a: "angle", c: "circle", f: "freehand", n: "note" };

const nothing: Size = { width: 16, height: 9 };

export class Board {
  /** Drawing is on: pointer and keys belong to it. */
  open = false;
  /** Drawing begins as soon as the frame is there. */
  private soon = false;
  readonly sketch: Sketch;
  private place: Place | undefined;
  private readonly known = new Map<string, Drawing[]>();
  private readonly asked = new Set<string>();
  private saving: Promise<void> = Promise.resolve();
  /** How often something was drawn. */
  private strokes = 0;

  constructor(
    private readonly shown: () => Shown,
    private readonly changed: () => void,
    private readonly say: (sentence: string, alarm?: boolean) => void,
  ) {
    this.sketch = new Sketch(nothing, (shapes) => this.keep(shapes), changed);
  }

  toggle(): void {
    if (!this.open && !this.shown().place) return this.say("Choose a rep on this film first: what is drawn belongs to a rep and a frame.");
    if (!this.open && this.shown().coming && !this.soon) {
      this.soon = true;
      return this.say("Drawing begins when the picture is there.");
    }
    this.soon = false;
    this.open = !this.open;
    this.sketch.pick(this.sketch.state.tool);
    this.say(this.open ? "Drawing: the tools are under the picture." : "Drawing is done.");
    this.changed();
  }

  /** A pressed key while drawing; false when it means nothing here. */
  press(key: string, shift: boolean): boolean {
    if (!this.open) return false;
    const tool = toolKeys[key.toLowerCase()];
    if (tool) this.sketch.pick(tool);
    else if (/^[1-4]$/.test(key)) this.sketch.ink(Number(key) - 1);
    else if (key.toLowerCase() === "u") shift ? this.sketch.redo() : this.sketch.undo();
    else if (this.sketch.key(key, shift)) return true;
    else if (key === "Escape" || key.toLowerCase() === "o") this.toggle();
    else return false;
    return true;
  }

  /** Follows what the film room shows. */
  follow(): void {
    const { place, size, coming } = this.shown();
    if (place && !this.asked.has(place.repId)) void this.load(place.repId);
    if (place?.repId !== this.place?.repId || place?.frame !== this.place?.frame) {
      this.place = place;
      if (!place) this.open = this.soon = false;
      this.sketch.open(this.shapesOf(place), size);
    }
    if (this.soon && !coming) this.toggle();
  }

  /** The drawings of a rep, as far as they are known. */
  of(repId: string): readonly Drawing[] {
    return (this.known.get(repId) ?? []).filter((d) => d.shapes.length > 0);
  }

  /** Asks for the drawings of reps that were not asked for yet. */
  async loadAll(repIds: readonly string[]): Promise<void> {
    for (const id of repIds) if (!this.asked.has(id)) await this.load(id);
  }

  private shapesOf(place: Place | undefined): readonly Shape[] {
    return place ? (this.known.get(place.repId)?.find((d) => d.frame === place.frame)?.shapes ?? []) : [];
  }

  private async load(repId: string, others = false): Promise<void> {
    this.asked.add(repId);
    const before = this.strokes;
    try {
      const { drawings } = await ask("get", "/api/reps/{id}/drawings", { path: { id: repId } });
      // What was drawn while the answer was on its way is not in it: that stays.
      const newer = (this.known.get(repId) ?? []).filter((d) => d.version > (drawings.find((e) => e.frame === d.frame)?.version ?? 0));
      this.known.set(repId, [...drawings.filter((d) => !newer.some((n) => n.frame === d.frame)), ...newer]);
      const drawing = this.strokes !== before || this.sketch.state.pending.length > 0;
      if (this.place?.repId === repId && (others || !drawing)) this.sketch.open(this.shapesOf(this.place), this.shown().size);
      this.changed();
    } catch {
      this.asked.delete(repId); // asked again with the next frame
    }
  }

  private keep(shapes: readonly Shape[]): void {
    const { place } = this;
    if (!place) return;
    this.strokes++;
    this.saving = this.saving.then(async () => {
      const version = this.known.get(place.repId)?.find((d) => d.frame === place.frame)?.version ?? 0;
      try {
        const kept = await ask("put", "/api/reps/{id}/drawings/{frame}", {
          path: { id: place.repId, frame: place.frame },
          body: { version, shapes: shapes.map(({ degrees: _, ...shape }) => shape) },
        });
        this.known.set(place.repId, [...(this.known.get(place.repId) ?? []).filter((d) => d.frame !== place.frame), kept]);
        if (this.place === place) this.sketch.confirm(kept.shapes);
        this.changed();
      } catch (failure) {
        this.say(sentenceOf(failure), true);
        // Somebody else drew meanwhile: what is there now is shown.
        if (failure instanceof APIError && failure.status === 409) await this.load(place.repId, true);
      }
    });
  }
}
