// Drives a <video> that plays a film's working copy, frame by frame. What it
// reports as on show is what the browser says it painted, never what was asked for.
import { other, thisBrowser, type Aim, type Rounding } from "./aim";
import type { FrameClock } from "./clock";

export interface Loop {
  from: number;
  to: number;
  /** Played a single time. */
  once?: boolean;
}

export interface PlayerEvents {
  /** This frame is on the screen now. */
  painted(frame: number): void;
  /** Playing came to the end of the film, or the browser stopped it: for a call, under a lock. */
  stopped?(): void;
  /** The film can't be shown; one sentence. */
  failed?(sentence: string): void;
}

/** How long the browser may take to report a painted frame once a seek is through, in ms; the second time a busy machine gets longer. */
const patience = [1000, 10_000];
/** How long the first frame that was reached in a new way has to stay, in ms, until that way is believed. */
const probation = 250;
/** How far a browser may round the time that it stands at, in s. */
const same = 1e-6;
/** How long a page is out of sight before it lets its film go, in ms. */
const lingers = 5000;
/** What is said where a browser can't tell which frame it shows. */
const tooOld = "This browser is too old to show film here: it can’t tell which frame is on the screen. Update it, or open this page in another one.";
/** The rates browsers play at. */
const slowest = 0.0625;
const fastest = 16;

export class FilmPlayer {
  /** The frame on show; -1 before the first one. */
  shown = -1;
  playing = false;

  private clock: FrameClock | undefined;
  private wanted: number | undefined;
  /** The frame on its way to the screen. */
  private coming: number | undefined;
  private seeking = false;
  private loop: Loop | undefined;
  private idle: (() => void)[] = [];
  private run = 0;
  private stopWatching: () => void = () => {};
  private address = "";
  /** Nothing was sought since the film was opened. */
  private fresh = true;
  /** The film is let go for now. */
  private away = false;
  private unseen: AbortController | undefined;
  /** Nothing is to be heard, whatever the browser makes of a rate. */
  private silent: boolean;

  constructor(
    private readonly video: HTMLVideoElement,
    private readonly events: PlayerEvents,
    private readonly aim: Aim = thisBrowser,
  ) {
    // Told to load all it can, some browsers keep the connection of a film that stands still.
    video.preload = "metadata";
    video.playsInline = true;
    this.silent = video.muted;
    video.addEventListener("volumechange", () => {
      if (this.silent && !video.muted) video.muted = true;
    });
    video.addEventListener("error", () => {
      if (video.error) events.failed?.("This film's working copy can't be played in this browser.");
    });
    video.addEventListener("ended", () => {
      if (!this.playing) return;
      if (this.loop && !this.loop.once) return this.rewind();
      this.stop();
    });
    video.addEventListener("pause", () => {
      // What was asked for here is known already.
      if (this.playing && video.paused && !video.ended) this.stop();
    });
  }

  /** Opens a working copy. Nothing is on show until the first seek. */
  load(address: string, clock: FrameClock): void {
    this.pause();
    this.run++;
    this.shown = -1;
    if (!("requestVideoFrameCallback" in this.video)) return this.events.failed?.(tooOld);
    this.clock = clock;
    this.wanted = this.coming = undefined;
    this.seeking = false;
    this.address = address;
    this.away = false;
    this.fresh = true;
    this.video.removeAttribute("poster");
    this.video.src = address;
    this.video.load();
    this.watchPage();
  }

  /** The film's clock has changed in its slow factor only. */
  retime(clock: FrameClock): void {
    if (this.clock) this.clock = clock;
  }

  close(): void {
    this.pause();
    this.run++;
    this.clock = undefined;
    this.unseen?.abort();
    this.unseen = undefined;
    this.video.removeAttribute("src");
    this.video.load();
    this.settle();
  }

  /** Shows a frame. Of several asked for in haste, the last one counts. */
  seek(frame: number): void {
    if (!this.clock) return;
    this.halt();
    this.wanted = this.clock.within(frame);
    if (this.away && document.visibilityState === "visible") return this.comeBack();
    if (!this.seeking && !this.away) void this.work();
  }

  /** Plays from the frame on show, at a speed in the world's time. */
  play(speed: number, loop?: Loop): void {
    const { video, clock } = this;
    if (!clock || this.away) return;
    this.loop = loop && loop.to > loop.from ? loop : undefined;
    video.playbackRate = Math.min(Math.max(speed * clock.slow, slowest), fastest);
    video.muted = this.silent = video.playbackRate !== 1;
    if (this.loop && (this.loop.once || this.shown < this.loop.from || this.shown >= this.loop.to)) this.rewind();
    if (this.playing) return;
    this.playing = true;
    this.watch();
    video.play().catch(() => {
      // Stopped before it began, or the browser wants silence: a film without
      // sound may always play.
      if (!this.playing) return;
      video.muted = this.silent = true;
      video.play().catch(() => this.playing && this.stop());
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

  /** Every film that is open may hold a connection, of which a browser has six for all its tabs: one that nobody sees is let go. */
  private watchPage(): void {
    if (this.unseen) return;
    this.unseen = new AbortController();
    const { signal } = this.unseen;
    let timer = 0;
    const rest = () => (this.playing ? void (timer = window.setTimeout(rest, lingers)) : this.letGo());
    const look = () => {
      clearTimeout(timer);
      if (document.visibilityState === "visible") this.comeBack();
      else timer = window.setTimeout(rest, lingers);
    };
    signal.addEventListener("abort", () => clearTimeout(timer));
    document.addEventListener("visibilitychange", look, { signal });
    addEventListener("pageshow", look, { signal });
    addEventListener("pagehide", () => {
      if (this.playing) this.stop();
      this.letGo();
    }, { signal });
    if (document.visibilityState !== "visible") look();
  }

  /** Closes the film until it is sought, or seen, again. */
  letGo(): void {
    const { video } = this;
    if (!this.clock || this.away) return;
    this.away = true;
    this.run++;
    this.seeking = false;
    this.wanted ??= this.coming ?? (this.shown < 0 ? undefined : this.shown);
    const still = this.shown < 0 ? "" : stillOf(video);
    if (still) video.poster = still;
    video.removeAttribute("src");
    video.load();
  }

  private comeBack(): void {
    if (!this.away) return;
    this.away = false;
    this.fresh = true;
    this.shown = -1;
    this.video.src = this.address;
    this.video.load();
    if (this.wanted !== undefined) void this.work();
  }

  private halt(): void {
    this.playing = false;
    this.loop = undefined;
    this.stopWatching();
    this.video.pause();
  }

  private stop(): void {
    this.halt();
    this.pin();
    this.events.stopped?.();
  }

  private pin(): void {
    if (this.shown < 0) return;
    this.wanted = this.shown;
    if (!this.seeking) void this.work(true);
  }

  private rewind(): void {
    if (!this.clock || !this.loop) return;
    this.video.currentTime = this.aim.place(this.clock, this.loop.from);
    if (this.playing && this.video.paused) void this.video.play().catch(() => this.playing && this.stop());
  }

  private watch(): void {
    const { video } = this;
    let live = true;
    this.stopWatching = () => (live = false);
    const next = () =>
      void nextFrame(video, Infinity).then((seconds) => {
        if (!live || seconds === undefined) return;
        this.report(seconds);
        if (this.loop && this.shown >= this.loop.to) {
          if (this.loop.once) return this.stop();
          this.rewind();
        }
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
      this.coming = frame;
      if (frame !== this.shown || even) await this.bring(frame, run);
      else this.events.painted(frame);
      even = false;
    }
    if (run !== this.run) return;
    this.coming = undefined;
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
    const fresh = this.fresh;
    this.fresh = false;
    const usual = this.aim.rounding;
    for (const rounding of [usual, other(usual)]) {
      const found = await this.reach(frame, run, rounding, fresh);
      if (found === "there") {
        this.aim.rounding = rounding;
        this.aim.tried = true;
      }
      if (found !== "missed") return;
    }
  }

  /**
   * Tries one way to a frame. The way misses it if the browser paints what the other
   * rounding means. Once, that may be a picture which was still on its way; twice, or as
   * the first since the film was opened, it is not.
   */
  private async reach(frame: number, run: number, rounding: Rounding, fresh: boolean): Promise<"there" | "missed" | "given up"> {
    const { video, clock } = this;
    if (!clock) return "given up";
    const beyond = this.aim.missed(clock, frame, rounding);
    let misses = fresh ? 1 : 0;
    let quiet = true;
    for (const [i, time] of this.aim.places(clock, frame, rounding).entries()) {
      if (run !== this.run) return "given up";
      if (Math.abs(video.currentTime - time) <= same) {
        if (this.shown === frame) return "there";
        if (i > 0) await this.stepAside(frame);
      }
      const painting = new Painting(video);
      video.currentTime = time;
      if (!(await once(video, ["seeked"]))) return painting.cancel("given up");
      const ends = performance.now() + patience[i]!;
      for (;;) {
        const seconds = await painting.next(Math.min(ends - performance.now(), patience[0]!));
        if (run !== this.run) return painting.cancel("given up");
        if (seconds === undefined) {
          if (performance.now() < ends && this.wanted === undefined) continue;
          break;
        }
        quiet = false;
        const painted = this.aim.tried ? seconds : await painting.last(seconds, probation);
        if (run !== this.run) return painting.cancel("given up");
        this.report(painted);
        const believed = !this.aim.tried || rounding === this.aim.rounding;
        if (this.shown === frame && (believed || (await this.stays(painting, run)))) return painting.cancel("there");
        if (this.shown === beyond && ++misses > 1) return painting.cancel("missed");
      }
      painting.cancel(undefined);
    }
    return quiet && beyond === undefined ? "missed" : "given up";
  }

  /** Whether the frame on show is still the one some time later. */
  private async stays(painting: Painting, run: number): Promise<boolean> {
    const frame = this.shown;
    const seconds = await painting.next(probation);
    if (seconds === undefined || run !== this.run) return run === this.run;
    this.report(seconds);
    return this.shown === frame;
  }

  /** Leaves the time that the player stands at, so that it paints when it is sent there. */
  private async stepAside(frame: number): Promise<void> {
    const { video, clock } = this;
    if (!clock) return;
    video.currentTime = clock.seekSeconds(frame);
    await once(video, ["seeked"]);
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

  /**
   * The time of the frame after which nothing more is painted for ms. A film that opens
   * paints its first frame unasked, which says nothing of where the player was sent.
   */
  async last(seconds: number, ms: number): Promise<number> {
    for (let next = await this.next(ms); next !== undefined; next = await this.next(ms)) seconds = next;
    return seconds;
  }

  /** Collects no more, and hands on what that leads to. */
  cancel<T>(result: T): T {
    this.live = false;
    return result;
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

/** The picture on show, as the address of an image. */
function stillOf(video: HTMLVideoElement): string {
  if (video.videoWidth === 0 || video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) return "";
  const canvas = document.createElement("canvas");
  canvas.width = Math.min(video.videoWidth, 960);
  canvas.height = Math.round((canvas.width * video.videoHeight) / video.videoWidth);
  canvas.getContext("2d")?.drawImage(video, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/jpeg");
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
