import assert from "node:assert/strict";
import { test } from "node:test";
import { FrameClock } from "./clock";

/** 25 frames at a jittering rate on a 1/600 clock, and their working copy. */
function jittering(slow = 1): FrameClock {
  const ticks = Array.from({ length: 25 }, (_, n) => 1000 + 20 * n + 20 * Math.floor(n / 10) + 5 * ((n * 7) % 4));
  return new FrameClock({ num: 1, den: 600, ticks, working: ticks.map((t) => (t - 1000) * 150), slow });
}

test("a frame is on show from its own start to the next one's", () => {
  const clock = jittering();
  for (let i = 0; i < clock.frames; i++) {
    assert.equal(clock.at(clock.fileSeconds(i)), i);
    if (i > 0) assert.equal(clock.at(clock.fileSeconds(i) - 1e-6), i - 1);
  }
  assert.equal(clock.at(-5), 0);
  assert.equal(clock.at(1e9), 24);
});

test("the player is sent to a place inside a frame's time", () => {
  const clock = jittering();
  for (let i = 0; i < clock.frames; i++) {
    const t = clock.seekSeconds(i);
    assert.ok(t > clock.workingSeconds(i));
    if (i + 1 < clock.frames) assert.ok(t < clock.workingSeconds(i + 1));
    assert.equal(clock.at(t), i);
  }
});

test("a player that shows what begins next is sent into the frame before", () => {
  const clock = jittering();
  assert.equal(clock.secondsBefore(0), 0);
  for (let i = 1; i < clock.frames; i++) {
    const t = clock.secondsBefore(i);
    assert.ok(t > clock.workingSeconds(i - 1) && t < clock.workingSeconds(i));
  }
});

test("a painted frame is found though the browser rounds its time", () => {
  const clock = jittering();
  for (let i = 0; i < clock.frames; i++) {
    for (const off of [-0.0011, 0, 0.0011]) assert.equal(clock.painted(clock.workingSeconds(i) + off), i);
  }
});

// Firefox reports the time that it was sent to, rounded to microseconds, as that of the
// painted frame (observed in its version 153).
test("a browser that reports where it was sent to means that frame", () => {
  const even = (fps: number) => Array.from({ length: 300 }, (_, n) => Math.round((n * 90000) / fps));
  const uneven = Array.from({ length: 300 }, (_, n) => 3000 * n + 700 * ((n * 7) % 4));
  for (const working of [even(30), even(60), even(240), uneven]) {
    const clock = new FrameClock({ num: 1, den: 90000, ticks: working, working, slow: 1 });
    for (let i = 0; i < clock.frames; i++) {
      for (const off of [-1e-6, 0, 1e-6]) assert.equal(clock.painted(clock.seekSeconds(i) + off), i);
    }
  }
});

test("240 frames a second are told apart", () => {
  const working = Array.from({ length: 480 }, (_, n) => n * 375);
  const clock = new FrameClock({ num: 1, den: 90000, ticks: working, working, slow: 1 });
  for (let i = 0; i < 480; i++) assert.equal(clock.painted(clock.workingSeconds(i) + 0.0011), i);
});

test("real time is the file's time over the slow factor", () => {
  const clock = jittering(8);
  const plain = jittering();
  assert.equal(clock.realSeconds(3, 20) * 8, plain.realSeconds(3, 20));
  assert.equal(clock.realSeconds(20, 3), -clock.realSeconds(3, 20));
  assert.equal(clock.after(3, clock.realSeconds(3, 20)), 20);
  assert.equal(clock.after(20, clock.realSeconds(20, 3)), 3);
});

test("a film of one frame has a clock too", () => {
  const clock = new FrameClock({ num: 1, den: 30, ticks: [7], working: [0], slow: 1 });
  assert.equal(clock.at(3), 0);
  assert.equal(clock.painted(0), 0);
  assert.ok(clock.seekSeconds(0) > 0);
  assert.equal(clock.seconds, 0);
});

test("a clock that does not cover its frames is refused", () => {
  assert.throws(() => new FrameClock({ num: 1, den: 30, ticks: [], working: [], slow: 1 }));
  assert.throws(() => new FrameClock({ num: 1, den: 30, ticks: [1, 2], working: [0], slow: 1 }));
});

test("a film that is being read is shown as far as it was, and lasts as long as all of it", () => {
  const ticks = Array.from({ length: 300 }, (_, n) => 3000 * n);
  const clock = new FrameClock({ num: 1, den: 90000, ticks, working: ticks, slow: 1, finished: 30 });
  assert.ok(clock.growing);
  assert.deepEqual([clock.frames, clock.reach, clock.within(200), clock.clamp(200)], [300, 30, 29, 200]);
  assert.equal(clock.seconds, 10);
  clock.grew(90);
  assert.deepEqual([clock.reach, clock.within(200), clock.within(-3)], [90, 89, 0]);
  const whole = new FrameClock({ num: 1, den: 90000, ticks, working: ticks, slow: 1 });
  whole.grew(10);
  assert.deepEqual([whole.growing, whole.reach], [false, 300]);
});
