import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";
import { Aim } from "./aim";
import { FrameClock } from "./clock";
import { FilmPlayer } from "./film-player";

/** A <video> that opens at once, and reports where it was sent to. */
class FakeVideo extends EventTarget {
  /** Every time that it was sent to. */
  readonly sent: number[] = [];
  preload = "";
  playsInline = false;
  muted = false;
  playbackRate = 1;
  poster = "";
  src = "";
  paused = true;
  ended = false;
  error = null;
  readyState = 0;
  videoWidth = 0;
  videoHeight = 0;
  private time = 0;
  private watchers: ((now: number, data: { mediaTime: number }) => void)[] = [];

  removeAttribute(name: "src" | "poster"): void {
    this[name] = "";
  }
  load(): void {
    this.readyState = 0;
    this.dispatchEvent(new Event("emptied"));
    if (this.src === "") return;
    setImmediate(() => {
      this.readyState = 4;
      this.dispatchEvent(new Event("loadedmetadata"));
    });
  }
  get currentTime(): number {
    return this.time;
  }
  set currentTime(seconds: number) {
    const painted = this.shows(seconds);
    this.time = seconds;
    this.sent.push(seconds);
    setImmediate(() => {
      this.dispatchEvent(new Event("seeked"));
      if (painted !== undefined) this.paint(painted);
    });
  }
  paint(mediaTime: number): void {
    for (const tell of this.watchers.splice(0)) tell(0, { mediaTime });
  }
  /** The time of what it paints when it is sent somewhere. */
  protected shows(seconds: number): number | undefined {
    return seconds;
  }
  async play(): Promise<void> {
    this.paused = false;
  }
  pause(): void {
    if (this.paused) return;
    this.paused = true;
    setImmediate(() => this.dispatchEvent(new Event("pause")));
  }
  requestVideoFrameCallback(tell: (now: number, data: { mediaTime: number }) => void): void {
    this.watchers.push(tell);
  }
}

const working = Array.from({ length: 60 }, (_, n) => n * 3000);
const clock = new FrameClock({ num: 1, den: 90000, ticks: working, working, slow: 1 });

/** One that shows the first frame which begins where it is sent to or later, and paints nothing when it stands there already. */
class UpwardVideo extends FakeVideo {
  protected override shows(seconds: number): number | undefined {
    const ticks = working.find((t) => t / 90000 >= seconds - 1e-9);
    return ticks === undefined || (seconds === this.currentTime && this.sent.length > 0) ? undefined : ticks / 90000;
  }
}

class Page extends EventTarget {
  visibilityState = "visible";
}

let page: Page;
let here: EventTarget;
let later: (() => void)[];

beforeEach(() => {
  page = new Page();
  here = new EventTarget();
  later = [];
  Object.assign(globalThis, {
    document: page, window: { setTimeout: (call: () => void) => later.push(call) }, HTMLMediaElement: { HAVE_METADATA: 1, HAVE_CURRENT_DATA: 2 },
    addEventListener: here.addEventListener.bind(here),
  });
});

let players: FilmPlayer[] = [];
afterEach(() => {
  for (const player of players.splice(0)) player.close();
});

function open<V extends FakeVideo>(video: V, aim = new Aim()) {
  const said: string[] = [];
  const painted: number[] = [];
  const player = new FilmPlayer(video as unknown as HTMLVideoElement, {
    painted: (frame) => painted.push(frame),
    stopped: () => said.push("stopped"),
    failed: (sentence) => said.push(sentence),
  }, aim);
  players.push(player);
  player.load("/film.mp4", clock);
  return { video, player, said, painted };
}

const turn = () => new Promise((done) => setImmediate(done));

test("a page that is left lets its film go, and takes it up again at its frame", async () => {
  const { video, player } = open(new FakeVideo());
  player.seek(17);
  assert.equal(await player.settled(), 17);
  here.dispatchEvent(new Event("pagehide"));
  assert.equal(video.src, "");
  here.dispatchEvent(new Event("pageshow"));
  assert.equal(video.src, "/film.mp4");
  assert.equal(await player.settled(), 17);
});

test("a frame on its way when the page is left is shown when it is seen again", async () => {
  const { video, player } = open(new FakeVideo());
  player.seek(9);
  here.dispatchEvent(new Event("pagehide"));
  assert.equal(video.src, "");
  here.dispatchEvent(new Event("pageshow"));
  assert.equal(await player.settled(), 9);
});

test("a page out of sight lets its film go after a while", async () => {
  const { video, player } = open(new FakeVideo());
  player.seek(3);
  await player.settled();
  page.visibilityState = "hidden";
  page.dispatchEvent(new Event("visibilitychange"));
  assert.equal(video.src, "/film.mp4");
  for (const call of later.splice(0)) call();
  assert.equal(video.src, "");
  player.seek(20); // waits until it is seen
  assert.equal(video.src, "");
  page.visibilityState = "visible";
  page.dispatchEvent(new Event("visibilitychange"));
  assert.equal(await player.settled(), 20);
});

test("a film that was let go is opened for the next frame that is sought", async () => {
  const { video, player } = open(new FakeVideo());
  player.seek(3);
  await player.settled();
  player.letGo();
  assert.equal(video.src, "");
  player.seek(4);
  assert.equal(await player.settled(), 4);
  assert.equal(video.src, "/film.mp4");
});

test("the browser's own pause is heard, ours is no news", async () => {
  const { video, player, said } = open(new FakeVideo());
  player.seek(3);
  await player.settled();
  player.play(1);
  player.pause();
  await turn();
  await player.settled();
  assert.deepEqual(said, []);
  player.play(1);
  video.pause(); // a call
  await turn();
  assert.equal(player.playing, false);
  assert.deepEqual(said, ["stopped"]);
});

test("what is played slowly stays silent", async () => {
  const { video, player } = open(new FakeVideo());
  player.seek(3);
  await player.settled();
  player.play(0.125);
  video.muted = false; // some browsers fall back to it as the rate changes
  video.dispatchEvent(new Event("volumechange"));
  assert.equal(video.muted, true);
  player.play(1);
  assert.equal(video.muted, false);
});

test("a browser that can't tell which frame it shows says so", async () => {
  const old = new Proxy(new FakeVideo(), {
    has: (of, key) => key !== "requestVideoFrameCallback" && key in of,
    get: (of, key) => {
      const value = Reflect.get(of, key) as unknown;
      return typeof value === "function" ? value.bind(of) : value;
    },
    set: (of, key, value) => Reflect.set(of, key, value),
  });
  const { player, said } = open(old);
  player.seek(3);
  assert.equal(await player.settled(), -1);
  assert.match(said.join(), /too old/);
});

test("a browser that rounds upwards is found out at the first frame, and then steps at the first try", async () => {
  const { video, player, painted } = open(new UpwardVideo());
  player.seek(0);
  assert.equal(await player.settled(), 0);
  assert.deepEqual(painted, [1, 0]); // never a number that was not painted
  for (const frame of [1, 2, 3, 2, 1, 0, 59, 58, 20]) {
    const sent = video.sent.length;
    player.seek(frame);
    assert.equal(await player.settled(), frame);
    assert.equal(video.sent.length, sent + 1, `frame ${frame}`);
    assert.equal(painted.at(-1), frame);
  }
  assert.equal(painted.length, 11);
});

test("the picture that a film opens with does not teach how a browser rounds", async () => {
  const { video, player, painted } = open(new UpwardVideo());
  player.seek(0);
  video.addEventListener("seeked", () => {
    video.paint(0);
    setTimeout(() => video.paint(clock.workingSeconds(1)), 50);
  }, { once: true });
  assert.equal(await player.settled(), 0);
  assert.deepEqual(painted, [1, 0]);
  player.seek(1);
  assert.equal(await player.settled(), 1);
  assert.deepEqual(painted, [1, 0, 1]);
});

test("what one film taught holds for the others of the page", async () => {
  const aim = new Aim();
  await Promise.all([17, 30].map((frame) => {
    const { player } = open(new UpwardVideo(), aim);
    player.seek(frame);
    return player.settled();
  }));
  const { video, player, painted } = open(new UpwardVideo(), aim);
  player.seek(40);
  assert.equal(await player.settled(), 40);
  assert.deepEqual(painted, [40]);
  assert.equal(video.sent.length, 1);
  player.play(1, { from: 10, to: 20 });
  assert.ok(video.sent.at(-1)! < clock.workingSeconds(10) && video.sent.at(-1)! > clock.workingSeconds(9), "the loop begins at its frame");
});

test("a browser that rounds upwards comes to its first frame again", async () => {
  const { video, player } = open(new UpwardVideo());
  player.seek(0);
  await player.settled();
  player.play(1);
  video.paint(clock.workingSeconds(1)); // the clock of the player has not moved yet
  await turn();
  assert.equal(player.shown, 1);
  player.seek(0);
  assert.equal(await player.settled(), 0);
});

test("a picture that was still on its way is no proof of rounding upwards", async () => {
  const { video, player, painted } = open(new FakeVideo());
  player.seek(8);
  await player.settled();
  player.seek(7);
  video.addEventListener("seeked", () => video.paint(clock.workingSeconds(8)), { once: true });
  assert.equal(await player.settled(), 7);
  assert.deepEqual(painted, [8, 8, 7]);
  for (const frame of [6, 0, 59]) {
    player.seek(frame);
    assert.equal(await player.settled(), frame);
  }
  assert.deepEqual(video.sent, [8, 7, 6, 0, 59].map((frame) => clock.seekSeconds(frame)));
});

test("a browser wrongly taken for one that rounds upwards is found out", async () => {
  const aim = new Aim();
  aim.rounding = "up";
  const { player, painted } = open(new FakeVideo(), aim);
  player.seek(12);
  assert.equal(await player.settled(), 12);
  assert.deepEqual(painted, [11, 12]);
  assert.equal(aim.rounding, "down");
});
