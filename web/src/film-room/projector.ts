// The film room's picture: loads films and their clocks, and shows what the room
// asks for.
import { address, ask, sentenceOf } from "../api/client";
import type { Clock } from "../api/types";
import { FrameClock } from "../player/clock";
import { FilmPlayer } from "../player/film-player";
import type { Loop, Screen } from "./core/room";

export interface ProjectorEvents {
  painted(film: string, frame: number): void;
  stopped(): void;
  /** A film's clock is known now, or a new one is. */
  clocked(film: string): void;
  failed(sentence: string): void;
}

/** What the browser plays of a film whose frames lie where a clock says. */
export function playable(film: string, clock: FrameClock): string {
  if (clock.growing) return address("/api/films/{id}/finished/{copy}", { id: film, copy: `${clock.reach}.mp4` });
  return clock.original ? address("/api/films/{id}/opened.mp4", { id: film }) : address("/api/films/{id}/working.mp4", { id: film });
}

export class Projector implements Screen {
  readonly video = document.createElement("video");
  private readonly player: FilmPlayer;
  private readonly clocks = new Map<string, FrameClock>();
  private readonly asked = new Map<string, Promise<FrameClock>>();
  private film = "";
  private loading: Promise<void> = Promise.resolve();
  private wanted = 0;
  /** The film whose working copy is there, and waits for the original to stop playing. */
  private late = "";
  /** How many frames the file has that is played, of a film that is being read. */
  private reach = 0;

  constructor(private readonly events: ProjectorEvents) {
    this.player = new FilmPlayer(this.video, {
      painted: (frame) => events.painted(this.film, frame),
      stopped: () => {
        events.stopped();
        this.catchUp();
      },
      failed: (sentence) => events.failed(sentence),
    });
  }

  clock(film: string): FrameClock | undefined {
    return this.clocks.get(film);
  }

  /** Whether a frame of a film is on the screen right now. */
  shows(film: string | undefined, frame: number): boolean {
    return film === this.film && this.player.shown === frame && this.video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA;
  }

  show(film: string, frame: number): void {
    this.wanted = frame;
    if (film === this.film) {
      const clock = this.clocks.get(film);
      if (clock?.growing && frame >= this.reach && clock.reach > this.reach) void this.change(film, clock);
      else if (clock) this.player.seek(frame);
      return;
    }
    this.player.pause();
    this.film = film;
    this.loading = this.load(film);
  }

  play(speed: number, loop?: Loop): void {
    const clock = this.clocks.get(this.film);
    if (!clock?.growing || clock.reach <= this.reach || this.player.playing) return this.player.play(speed, loop);
    const { film } = this;
    void this.change(film, clock).then(() => {
      if (film === this.film) this.player.play(speed, loop);
    });
  }

  pause(): void {
    this.player.pause();
    this.catchUp();
  }

  async settled(): Promise<{ film: string; frame: number }> {
    await this.loading;
    return { film: this.film, frame: await this.player.settled() };
  }

  /** Reads a film's clock again, after its slow factor was changed. */
  async reclock(film: string): Promise<void> {
    this.asked.delete(film);
    const clock = await this.clockOf(film);
    if (film === this.film) this.player.retime(clock);
  }

  /** A film that is being read may have come further: what can be shown of it is asked for. */
  async follow(film: string): Promise<void> {
    const clock = this.clocks.get(film);
    if (!clock?.growing) return;
    try {
      const { frames } = await ask("get", "/api/films/{id}/finished", { path: { id: film } });
      if (frames === 0 || !clock.growing) return;
      const farther = frames !== clock.reach;
      clock.grew(frames);
      const waits = this.reach === 0 || (this.wanted >= this.reach && this.wanted < frames);
      if (film === this.film && waits && clock === this.clocks.get(film) && !this.player.playing) await this.change(film, clock);
      if (farther) this.events.clocked(film);
    } catch {
      // It is asked for again as the film is read on.
    }
  }

  /** Reading a film began anew, so that the part which was shown is gone. */
  lost(film: string): void {
    if (film === this.film && this.clocks.get(film)?.growing) this.reach = 0;
  }

  /**
   * The film was read: its working copy, whole and quick to step, takes the place of the
   * original, or of the part that was there. The frame on show stays where it is until the same one is painted again.
   */
  async swap(film: string): Promise<void> {
    const before = this.clocks.get(film);
    if (!before?.original && !before?.growing) return;
    if (film === this.film && this.player.playing) {
      this.late = film;
      return;
    }
    this.asked.delete(film);
    try {
      const clock = await this.clockOf(film);
      if (film !== this.film || clock.original) return;
      this.wanted = sameFrame(before, clock, this.wanted);
      await this.change(film, clock);
    } catch (failure) {
      this.events.failed(sentenceOf(failure));
    }
  }

  /** Shows the film from another file; the picture on show stays until the wanted one is painted. */
  private async change(film: string, clock: FrameClock): Promise<void> {
    const still = stillOf(this.video);
    this.open(film, clock);
    await this.player.settled();
    still?.remove();
  }

  private open(film: string, clock: FrameClock): void {
    this.reach = clock.reach;
    this.player.load(playable(film, clock), clock);
    this.player.seek(this.wanted);
  }

  private catchUp(): void {
    const film = this.late;
    this.late = "";
    if (film) void this.swap(film);
  }

  close(): void {
    this.film = "";
    this.player.close();
  }

  private async load(film: string): Promise<void> {
    try {
      const clock = await this.clockOf(film);
      if (film !== this.film) return;
      this.open(film, clock);
    } catch (failure) {
      if (film === this.film) this.events.failed(sentenceOf(failure));
    }
  }

  private clockOf(film: string): Promise<FrameClock> {
    const known = this.asked.get(film);
    if (known) return known;
    const asking = ask("get", "/api/films/{id}/clock", { path: { id: film } }).then((data: Clock) => {
      const clock = new FrameClock(data);
      this.clocks.set(film, clock);
      this.events.clocked(film);
      return clock;
    });
    asking.catch(() => this.asked.delete(film));
    this.asked.set(film, asking);
    return asking;
  }
}

/** The index of a frame's picture by another clock of the same film. */
function sameFrame(before: FrameClock, now: FrameClock, frame: number): number {
  return before.frames === now.frames ? frame : now.at(before.fileSeconds(frame));
}

/** Puts a picture of what a player shows over it, where it is in the page. */
function stillOf(video: HTMLVideoElement): HTMLCanvasElement | undefined {
  if (!video.parentElement || video.videoWidth === 0) return undefined;
  const canvas = document.createElement("canvas");
  canvas.className = "meanwhile";
  canvas.setAttribute("aria-hidden", "true");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext("2d")?.drawImage(video, 0, 0);
  video.after(canvas);
  return canvas;
}
