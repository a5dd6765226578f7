// In which order the page hears of the room's changes: from a key to the painted frame
// nothing is painted that can wait.
import { onlyMoved, type RoomState } from "./core/room";
import { Changes } from "./watch";

/** How often the place of a film that plays is told, in ms: to paint it at every frame has a slow machine skip frames of the film. */
const toldEvery = 100;
/** How long a frame may be on its way until the page shows that it was asked for, in ms. */
const comingFor = 50;

export class Telling {
  /** Tells every change. */
  readonly all = new Changes();
  /** Tells it to what names the frame on show or lies over it, before everything else. */
  readonly onShow = new Changes();
  private known: RoomState | undefined;
  private forget: (() => void) | undefined;

  constructor(
    /** Whether something lies over each frame of a film that plays. */
    private readonly every: () => boolean,
    /** Calls later; returns what takes that back. */
    private readonly later: (ms: number, call: () => void) => () => void = inTime,
  ) {
    this.all.watch(this.onShow.tell);
  }

  /** The room has come to a state. Of another frame alone, all others hear once that is painted with its name. */
  room(state: RoomState): void {
    const moved = this.known !== undefined && onlyMoved(this.known, state);
    this.known = state;
    if (!moved) return this.all.tell();
    if (!state.playing || this.every()) this.onShow.tell();
    if (state.playing) return this.within(toldEvery);
    if (state.frame !== state.wanted) return this.within(comingFor);
    this.close();
    this.within(0);
  }

  close(): void {
    this.forget?.();
    this.forget = undefined;
  }

  private within(ms: number): void {
    this.forget ??= this.later(ms, () => {
      this.forget = undefined;
      this.all.tell();
    });
  }
}

function inTime(ms: number, call: () => void): () => void {
  const timer = setTimeout(call, ms);
  return () => clearTimeout(timer);
}
