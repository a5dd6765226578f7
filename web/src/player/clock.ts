// A film's frame clock on the page: which frame is on show when, in the file and
// in the working copy that the browser plays. Nothing assumes a constant rate.

/** What the API says of a film's clock. */
export interface ClockData {
  /** One tick is num/den seconds of the file. */
  num: number;
  den: number;
  /** One per frame, rising. */
  ticks: readonly number[];
  /** When each frame starts in the working copy, in 1/90000 s. */
  working: readonly number[];
  /** Until the film was read it is the original that is played, and working are its times. */
  original?: boolean;
  /** So many frames, from the first on, can be shown of a film that is being read; missing: all. */
  finished?: number;
  /** Real seconds between two frames = file seconds / slow. */
  slow: number;
}

const workingTicksPerSecond = 90000;

/** How far into a frame's time on show the player is sent. */
const into = 0.35;
/** How much too early a browser may report a frame, in ticks of the working copy: 1.2 ms. */
const early = 108;

export class FrameClock {
  readonly frames: number;
  private finished: number | undefined;

  constructor(private readonly data: ClockData) {
    if (data.ticks.length === 0 || data.ticks.length !== data.working.length) {
      throw new Error("The film's clock is damaged: it names no time for some frames.");
    }
    this.frames = data.ticks.length;
    this.finished = data.finished;
  }

  /** Whether the film is still being read, and can be shown as far as it was. */
  get growing(): boolean {
    return this.finished !== undefined;
  }

  /** How many frames can be shown, from the first on. */
  get reach(): number {
    return Math.min(this.finished ?? this.frames, this.frames);
  }

  /** The film was read as far as that. */
  grew(finished: number): void {
    if (this.growing) this.finished = finished;
  }

  /** The frame, or the last one before it that can be shown. */
  within(frame: number): number {
    return Math.max(0, Math.min(this.clamp(frame), this.reach - 1));
  }

  /** Whether these are the times of the original, not of the working copy. */
  get original(): boolean {
    return this.data.original ?? false;
  }

  get slow(): number {
    return this.data.slow > 0 ? this.data.slow : 1;
  }

  clamp(frame: number): number {
    return Math.min(Math.max(Math.round(frame), 0), this.frames - 1);
  }

  /** Seconds of the file from its first shown frame to the given one. */
  fileSeconds(frame: number): number {
    const { ticks, num, den } = this.data;
    return ((ticks[this.clamp(frame)]! - ticks[0]!) * num) / den;
  }

  /** Seconds that passed in the world between two frames. */
  realSeconds(from: number, to: number): number {
    return (this.fileSeconds(to) - this.fileSeconds(from)) / this.slow;
  }

  /** The frame on show at a time of the file. */
  at(fileSeconds: number): number {
    return lastNotAfter(this.frames, (i) => this.fileSeconds(i) <= fileSeconds + 1e-9);
  }

  /** The frame on show so many real seconds after the given one (before, if negative). */
  after(frame: number, realSeconds: number): number {
    return this.at(this.fileSeconds(frame) + realSeconds * this.slow);
  }

  /** Length of the file in seconds, the last frame counted as long as the one before. */
  get seconds(): number {
    const last = this.frames - 1;
    return this.fileSeconds(last) + (last > 0 ? this.fileSeconds(last) - this.fileSeconds(last - 1) : 0);
  }

  /**
   * Where to send the player for a frame: well inside its time on show. Sent to its
   * exact start, a browser often shows the frame before; of its middle, one that
   * reports where it was sent to, rounded, could mean the next one.
   */
  seekSeconds(frame: number): number {
    const i = this.clamp(frame);
    return (this.data.working[i]! + this.shownFor(i) * into) / workingTicksPerSecond;
  }

  /** Where to send a player for a frame that shows the first one which begins then or later: well inside the frame before. */
  secondsBefore(frame: number): number {
    const i = this.clamp(frame);
    return Math.max(0, this.data.working[i]! - this.shownFor(Math.max(i - 1, 0)) * into) / workingTicksPerSecond;
  }

  /** How long a frame is on show in the working copy, in ticks; the last one as long as the one before. */
  private shownFor(i: number): number {
    const { working } = this.data;
    if (this.frames === 1) return 1500;
    const next = Math.min(i + 1, this.frames - 1);
    return working[next]! - working[next - 1]!;
  }

  /** When a frame starts in the working copy, in seconds. */
  workingSeconds(frame: number): number {
    return this.data.working[this.clamp(frame)]! / workingTicksPerSecond;
  }

  /**
   * The frame that the browser reported as it painted it. Some report when it starts,
   * rounded, some the time that the player was sent to: the last frame that had begun
   * by then is meant, or one that begins within the rounding.
   */
  painted(mediaSeconds: number): number {
    const want = mediaSeconds * workingTicksPerSecond;
    const { working } = this.data;
    const begun = lastNotAfter(this.frames, (i) => working[i]! <= want);
    const next = Math.min(begun + 1, this.frames - 1);
    return working[next]! - want <= Math.min(early, 0.4 * this.shownFor(begun)) ? next : begun;
  }
}

/** The last index of 0..n-1 that holds, given that those that hold come first; 0 if none. */
function lastNotAfter(n: number, holds: (i: number) => boolean): number {
  let lo = 0;
  let hi = n;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (holds(mid)) lo = mid;
    else hi = mid;
  }
  return lo;
}
