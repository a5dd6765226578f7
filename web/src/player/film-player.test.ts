import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";
import { FrameClock } from "./clock";
import { FilmPlayer } from "./film-player";

/** A <video> that opens at once, and reports where it was sent to. */
class FakeVideo extends EventTarget {
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
    this.time = seconds;
    setImmediate(() => {
      this.dispatchEvent(new Event("seeked"));
      for (const tell of this.watchers.splice(0)) tell(0, { mediaTime: seconds });
    });
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

function open(video = new FakeVideo()) {
  const said: string[] = [];
  const player = new FilmPlayer(video as unknown as HTMLVideoElement, {
    painted: () => {},
    stopped: () => said.push("stopped"),
    failed: (sentence) => said.push(sentence),
  });
  players.push(player);
  player.load("/film.mp4", clock);
  return { video, player, said };
}

const turn = () => new Promise((done) => setImmediate(done));

test("a page that is left lets its film go, and takes it up again at its frame", async () => {
  const { video, player } = open();
  player.seek(17);
  assert.equal(await player.settled(), 17);
  here.dispatchEvent(new Event("pagehide"));
  assert.equal(video.src, "");
  here.dispatchEvent(new Event("pageshow"));
  assert.equal(video.src, "/film.mp4");
  assert.equal(await player.settled(), 17);
});

test("a frame on its way when the page is left is shown when it is seen again", async () => {
  const { video, player } = open();
  player.seek(9);
  here.dispatchEvent(new Event("pagehide"));
  assert.equal(video.src, "");
  here.dispatchEvent(new Event("pageshow"));
  assert.equal(await player.settled(), 9);
});

test("a page out of sight lets its film go after a while", async () => {
  const { video, player } = open();
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
  const { video, player } = open();
  player.seek(3);
  await player.settled();
  player.letGo();
  assert.equal(video.src, "");
  player.seek(4);
  assert.equal(await player.settled(), 4);
  assert.equal(video.src, "/film.mp4");
});

test("the browser's own pause is heard, ours is no news", async () => {
  const { video, player, said } = open();
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
  const { video, player } = open();
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
