import assert from "node:assert/strict";
import { test } from "node:test";
import { centre, closest, length, pan, reveal, rulerTimes, ruling, toTime, toX, whole, zoom } from "./span";

const near = (a: number, b: number) => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

test("zooming keeps the time under the pointer where it is", () => {
  let span = whole(60);
  for (let i = 0; i < 3; i++) {
    const x = toX(span, 20, 900);
    span = zoom(span, 2, 20, 60);
    near(toX(span, 20, 900), x);
  }
  near(length(span), 7.5);
});

test("zoom stops at the film's length and at the closest view", () => {
  assert.deepEqual(zoom(whole(60), 0.5, 30, 60), whole(60));
  let span = whole(60);
  for (let i = 0; i < 40; i++) span = zoom(span, 2, 59.9, 60);
  near(length(span), closest);
  assert.ok(span.to <= 60 + 1e-9 && span.from >= 0);
});

test("pan stops at the film's ends", () => {
  const span = { from: 10, to: 20 };
  assert.deepEqual(pan(span, -50, 60), { from: 0, to: 10 });
  assert.deepEqual(pan(span, 500, 60), { from: 50, to: 60 });
  assert.deepEqual(pan(span, 5, 60), { from: 15, to: 25 });
});

test("the playhead is kept in sight with as little movement as will do", () => {
  const span = { from: 10, to: 20 };
  assert.equal(reveal(span, 15, 60), span);
  assert.deepEqual(reveal(span, 20, 60), { from: 11, to: 21 });
  assert.deepEqual(reveal(span, 0, 60), { from: 0, to: 10 });
  assert.deepEqual(centre(span, 40, 60), { from: 35, to: 45 });
});

test("seconds and pixels are each other's inverse", () => {
  const span = { from: 3.2, to: 7.9 };
  for (const x of [0, 17.5, 640]) near(toX(span, toTime(span, x, 640), 640), x);
});

test("ruler lines fall on round times, far enough apart to read", () => {
  for (const seconds of [0.3, 4, 61, 1800]) {
    const span = whole(seconds);
    const step = ruling(span, 360, 60);
    assert.ok((step / length(span)) * 360 >= 60 - 1e-9);
    for (const t of rulerTimes(span, 360, 60)) near(t / step, Math.round(t / step));
  }
  assert.deepEqual(rulerTimes({ from: 0, to: 4 }, 400, 60), [0, 1, 2, 3, 4]);
});

test("a film shorter than the closest view still has a span", () => {
  const span = whole(0);
  assert.ok(length(span) > 0);
  assert.deepEqual(zoom(span, 4, 0, 0), span);
});
