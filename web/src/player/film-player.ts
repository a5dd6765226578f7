// Drives a <video> that plays a film's working copy, frame by frame. What it
// reports as on show is what the browser says it painted, never what was asked for.
import type { FrameClock } from "./clock";

export interface Loop {
  from: number;
  to: number;
}

export interface PlayerEvents {
  /** This frame is on the screen now. */
  painted(frame: number): void;
  /** Playing came to the end of the film. */
  ended?(): void;
  /** The film can't be shown; one sentence. */
  failed?(sentence: string): void;
}

/** How long the browser may take to report a painted frame once a seek is through. */
const patience = 1000;
/** The rates browsers play at. */
const slowest = 0.0625;
const fastest = 16;

export class FilmPlayer {
  /** The frame on show; -1 before the first one. */
  shown = -1;
  playing = false;

  private clock: FrameClock | undefined;
  private wanted: number | undefined;
  private seeking = false;
  private loop: Loop | undefined;
  private idle: (() => void)[] = [];
  private run = 0;
  private stopWatching: () => void = () => {};

  constructor(
    private readonly video: HTMLVideoElement,
    private readonly events: PlayerEvents,
  ) {
    video.preload = "auto";
    video.playsInline = true;
    video.addEventListener("error", () => {
      if (video.error) events.failed?.("This film's working copy can't be played in this browser.");
    });
    video.addEventListener("ended", () => {
      if (!this.playing) return;
      if (this.loop) return this.rewind();
      this.playing = false;
      this.pin();
      events.ended?.();
    });
  }

  /** Opens a working copy. Nothing is on show until the first seek. */
  load(address: string, clock: FrameClock): void {
    this.pause();
    this.run++;
    this.clock = clock;
    this.shown = -1;
    this.wanted = undefined;
    this.seeking = false;
    this.video.src = address;
    this.video.load();
  }

  /** The film's clock has changed in its slow factor only. */
  retime(clock: FrameClock): void {
    this.clock = clock;
  }

  close(): void {
    this.pause();
    this.run++;
    this.clock = undefined;
    this.video.removeAttribute("src");
    this.video.load();
    this.settle();
  }

  /** Shows a frame. Of several asked for in haste, the last one counts. */
  seek(frame: number): void {
    if (!this.clock) return;
    this.halt();
    this.wanted = this.clock.clamp(frame);
    if (!this.seeking) void this.work();
  }

  /** Plays from the frame on show, at a speed in the world's time. */
  play(speed: number, loop?: Loop): void {
    const { video, clock } = this;
    if (!clock) return;
    this.loop = loop && loop.to > loop.from ? loop : undefined;
    video.playbackRate = Math.min(Math.max(speed * clock.slow, slowest), fastest);
    video.muted = video.playbackRate !== 1;
    if (this.loop && (this.shown < this.loop.from || this.shown >= this.loop.to)) this.rewind();
    if (this.playing) return;
    this.playing = true;
    this.watch();
    video.play().catch(() => {
      // Stopped before it began, or the browser wants silence: a film without
      // sound may always play.
      if (!this.playing) return;
      video.muted = true;
      video.play().catch(() => this.halt());
    });
  }

  /** Stops, and makes sure that the frame reported is the frame left on show. */
  pause(): void {
    if (!this.playing) return;
    this.halt();
    this.pin();
  }

  /** Resolves with the frame on show once nothing is on its way. */
  async settled(): Promise<number> {
    if (this.seeking || this.wanted !== undefined) await new Promise<void>((resolve) => this.idle.push(resolve));
    return this.shown;
  }

  private halt(): void {
    this.playing = false;
    this.loop = undefined;
    this.stopWatching();
    this.video.pause();
  }

  private pin(): void {
    if (this.shown < 0) return;
    this.wanted = this.shown;
    if (!this.seeking) void this.work(true);
  }

  private rewind(): void {
    if (!this.clock || !this.loop) return;
    this.video.currentTime = this.clock.seekSeconds(this.loop.from);
    if (this.playing && this.video.paused) void this.video.play().catch(() => this.halt());
  }

  private watch(): void {
    const { video } = this;
    let live = true;
    this.stopWatching = () => (live = false);
    const next = () =>
      void nextFrame(video, Infinity).then((seconds) => {
        if (!live || seconds === undefined) return;
        this.report(seconds);
        if (this.loop && this.shown >= this.loop.to) this.rewind();
        next();
      });
    next();
  }

  private async work(even = false): Promise<void> {
    const run = this.run;
    this.seeking = true;
    while (this.wanted !== undefined && run === this.run) {
      const frame = this.wanted;
      this.wanted = undefined;
      if (frame !== this.shown || even) await this.bring(frame, run);
      else this.events.painted(frame);
      even = false;
    }
    if (run !== this.run) return;
    this.seeking = false;
    this.settle();
  }

  /** Brings one frame onto the screen and waits until the browser says so. */
  private async bring(frame: number, run: number): Promise<void> {
    const { video, clock } = this;
    if (!clock) return;
    // Opening a film empties the player first, so that one emptied is no end while
    // the film is still the same.
    while (video.readyState < HTMLMediaElement.HAVE_METADATA) {
      if (!(await once(video, ["loadedmetadata"])) && (run !== this.run || video.error)) return;
      if (run !== this.run) return;
    }
    const place = clock.seekSeconds(frame);
    // The same time twice makes the browser seek but paint nothing, so a second
    // try goes to another place within the frame.
    for (const time of [place, (place + clock.workingSeconds(frame)) / 2]) {
      if (run !== this.run) return;
      if (video.currentTime === time && this.shown === frame) break;
      const painting = new Painting(video);
      video.currentTime = time;
      if (!(await once(video, ["seeked"]))) return painting.cancel();
      const ends = performance.now() + patience;
      for (;;) {
        const seconds = await painting.next(ends - performance.now());
        if (seconds === undefined) break;
        if (run !== this.run) return painting.cancel();
        this.report(seconds);
        if (this.shown === frame) return painting.cancel();
      }
    }
  }

  private report(mediaSeconds: number): void {
    if (!this.clock) return;
    this.shown = this.clock.painted(mediaSeconds);
    this.events.painted(this.shown);
  }

  private settle(): void {
    for (const done of this.idle.splice(0)) done();
  }
}

/** Collects the painted frames from the moment it is made. */
class Painting {
  private readonly seen: number[] = [];
  private wake: () => void = () => {};
  private live = true;

  constructor(private readonly video: HTMLVideoElement) {
    this.listen();
  }

  /** The next painted frame's time, or undefined when there is none within ms. */
  async next(ms: number): Promise<number | undefined> {
    if (this.seen.length === 0 && ms > 0) {
      await new Promise<void>((resolve) => {
        this.wake = resolve;
        setTimeout(resolve, ms);
      });
    }
    return this.seen.shift();
  }

  cancel(): void {
    this.live = false;
  }

  private listen(): void {
    this.video.requestVideoFrameCallback((_, { mediaTime }) => {
      if (!this.live) return;
      this.seen.push(mediaTime);
      this.wake();
      this.listen();
    });
  }
}

function nextFrame(video: HTMLVideoElement, ms: number): Promise<number | undefined> {
  return new Promise((resolve) => {
    video.requestVideoFrameCallback((_, { mediaTime }) => resolve(mediaTime));
    if (ms !== Infinity) setTimeout(() => resolve(undefined), ms);
  });
}

/** Waits for one of the events; false when the video fails or is emptied instead. */
function once(video: HTMLVideoElement, kinds: string[]): Promise<boolean> {
  return new Promise((resolve) => {
    const ends = ["error", "emptied"];
    const done = (event: Event) => {
      for (const kind of [...kinds, ...ends]) video.removeEventListener(kind, done);
      resolve(kinds.includes(event.type));
    };
    for (const kind of [...kinds, ...ends]) video.addEventListener(kind, done);
  });
}
