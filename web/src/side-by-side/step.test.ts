import { test } from "node:test";
import assert from "node:assert/strict";
import { FrameClock } from "../player/clock";
import { clockText, frameAt, next, previous, span, type Side } from "./step";

function side(fps: number, frames: number, zero: number, slow = 1): Side {
  const ticks = Array.from({ length: frames }, (_, i) => i * (90000 / fps));
  return { clock: new FrameClock({ num: 1, den: 90000, ticks, working: ticks, slow }), zero, tempo: 1 };
}

test("both are at their own instant at time nought, whatever their rates", () => {
  const sides = [side(60, 600, 200), side(30, 300, 77), side(30, 1200, 640, 8)];
  for (const s of sides) assert.equal(frameAt(s, 0), s.zero);
  assert.equal(frameAt(sides[0]!, 0.5), 230);
  assert.equal(frameAt(sides[1]!, 0.5), 92);
  assert.equal(frameAt(sides[2]!, 0.5), 640 + 120, "stretched slow motion counts in real seconds");
});

test("steps go to the nearer change of either picture, and back again", () => {
  const sides = [side(60, 600, 200), side(30, 300, 77)];
  const t1 = next(sides, 0);
  assert.ok(Math.abs(t1 - 1 / 60) < 1e-9);
  assert.equal(frameAt(sides[0]!, t1), 201);
  assert.equal(frameAt(sides[1]!, t1), 77);
  const t2 = next(sides, t1);
  assert.equal(frameAt(sides[1]!, t2), 78);
  assert.ok(Math.abs(previous(sides, t2) - t1) < 1e-9);
  assert.ok(Math.abs(previous(sides, t1)) < 1e-9);
});

test("a side at another tempo reaches everything sooner, and steps there and back", () => {
  const s: Side = { ...side(60, 600, 200), tempo: 1.2 };
  assert.equal(frameAt(s, -0.5), 200 - 36);
  assert.equal(frameAt(s, 0), 200);
  const t = next([s], -0.3);
  assert.equal(frameAt(s, t), frameAt(s, -0.3) + 1);
  assert.equal(frameAt(s, previous([s], t)), frameAt(s, -0.3));
  assert.ok(Math.abs(span([{ ...side(60, 600, 60), tempo: 2 }]).from + 0.5) < 1e-9);
});

test("the span ends where a film ends", () => {
  const s = span([side(60, 600, 30), side(60, 600, 590)]);
  assert.ok(Math.abs(s.from + 0.5) < 1e-9);
  assert.ok(Math.abs(s.to - 9 / 60) < 1e-9);
  const { to } = span([side(60, 600, 300)]);
  assert.equal(to, 1.5);
});

test("stepping at an end stays there", () => {
  const s = [side(60, 10, 9)];
  assert.equal(next(s, 0), 0);
  const first = [side(60, 10, 0)];
  assert.equal(previous(first, 0), 0);
});

test("the clock's words", () => {
  assert.equal(clockText(0.001), "0.00 s");
  assert.equal(clockText(-0.42), "−0.42 s");
  assert.equal(clockText(0.13), "+0.13 s");
});
