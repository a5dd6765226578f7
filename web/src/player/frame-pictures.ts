// Small pictures of single frames, taken from a second, hidden player while the
// first one stays where it is.
import type { FrameClock } from "./clock";
import { FilmPlayer } from "./film-player";

/** How long the film is kept open after the last picture, in ms: it holds a connection. */
const lingers = 3000;
/** How many pictures are kept. */
const most = 120;

/** A part of a picture, in shares of it. */
export interface Part {
  x: number;
  y: number;
  width: number;
  height: number;
}

const whole: Part = { x: 0, y: 0, width: 1, height: 1 };

export class FramePictures {
  private readonly video = document.createElement("video");
  private readonly player: FilmPlayer;
  private readonly kept = new Map<number, HTMLCanvasElement>();
  private wanted: number[] = [];
  private working = false;
  private film = 0;
  private idle: ReturnType<typeof setTimeout> | undefined;
  private address = "";
  private part = whole;

  constructor(
    private height: number,
    private readonly arrived: () => void,
  ) {
    this.video.muted = true;
    this.player = new FilmPlayer(this.video, { painted: () => {} });
  }

  open(address: string, clock: FrameClock): void {
    this.address = address;
    this.film++;
    clearTimeout(this.idle);
    this.working = false;
    this.wanted = [];
    this.kept.clear();
    this.player.load(address, clock);
  }

  /** Takes pictures from another file with the same frames from now on. */
  change(address: string, clock: FrameClock): void {
    if (this.address === address) return;
    this.film++;
    clearTimeout(this.idle);
    this.working = false;
    this.address = address;
    this.player.load(address, clock);
    if (this.wanted.length > 0) void this.work();
  }

  /** Shows a part of the frames only, so many pixels high, from now on; the pictures of another part are forgotten. */
  crop(part: Part, height: number): void {
    const before = this.part;
    if (before.x === part.x && before.y === part.y && before.width === part.width && before.height === part.height && height === this.height) return;
    this.part = part;
    this.height = height;
    this.kept.clear();
  }

  close(): void {
    this.film++;
    clearTimeout(this.idle);
    this.wanted = [];
    this.kept.clear();
    this.player.close();
  }

  picture(frame: number): HTMLCanvasElement | undefined {
    return this.kept.get(frame);
  }

  /** Asks for pictures, the most wanted first; what was asked for before is forgotten. */
  want(frames: readonly number[]): void {
    this.wanted = frames.filter((frame) => !this.kept.has(frame));
    if (!this.working) void this.work();
  }

  /** Takes a picture from a player that shows the frame right now. */
  take(frame: number, video: HTMLVideoElement): void {
    if (!this.kept.has(frame)) this.keep(frame, video);
  }

  private async work(): Promise<void> {
    const film = this.film;
    this.working = true;
    clearTimeout(this.idle);
    for (let frame = this.wanted.shift(); frame !== undefined; frame = this.wanted.shift()) {
      this.player.seek(frame);
      const shown = await this.player.settled();
      if (film !== this.film) return;
      if (shown === frame) this.keep(frame, this.video);
    }
    this.working = false;
    this.idle = setTimeout(() => this.player.letGo(), lingers);
  }

  private keep(frame: number, video: HTMLVideoElement): void {
    const { videoWidth, videoHeight } = video;
    if (videoWidth === 0) return;
    const canvas = document.createElement("canvas");
    const { x, y, width, height } = this.part;
    const [w, h] = [width * videoWidth, height * videoHeight];
    canvas.height = this.height;
    canvas.width = Math.max(1, Math.round((w / h) * this.height));
    canvas.getContext("2d")?.drawImage(video, x * videoWidth, y * videoHeight, w, h, 0, 0, canvas.width, canvas.height);
    this.kept.set(frame, canvas);
    if (this.kept.size > most) this.kept.delete(this.kept.keys().next().value!);
    this.arrived();
  }
}
