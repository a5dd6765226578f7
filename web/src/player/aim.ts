// Where a player is sent for a frame. What a time within a frame means is not the same
// in every browser, so that what is painted decides, and is remembered for this page.
import type { FrameClock } from "./clock";

/**
 * What an engine shows when it is sent to a time: the frame that is on show then, or the
 * first one that begins then or later (GStreamer, on which WebKitGTK plays).
 */
export type Rounding = "down" | "up";

export class Aim {
  rounding: Rounding = "down";
  /** Whether a frame was reached by that rounding; until then it is a guess. */
  tried = false;

  /** Where to send the player for a frame. */
  place(clock: FrameClock, frame: number): number {
    return this.places(clock, frame, this.rounding)[0];
  }

  /**
   * Two places that mean the same frame, under a rounding: the same time twice makes a
   * browser seek but paint nothing.
   */
  places(clock: FrameClock, frame: number, rounding: Rounding): [number, number] {
    const place = rounding === "down" ? clock.seekSeconds(frame) : clock.secondsBefore(frame);
    return [place, (place + clock.workingSeconds(frame)) / 2];
  }

  /** The frame that an engine shows which doesn't round like that. */
  missed(clock: FrameClock, frame: number, rounding: Rounding): number | undefined {
    const other = rounding === "down" ? frame + 1 : frame - 1;
    return other >= 0 && other < clock.frames ? other : undefined;
  }
}

export const other = (rounding: Rounding): Rounding => (rounding === "down" ? "up" : "down");

/** What this page's browser was found to do. */
export const thisBrowser = new Aim();
