import assert from "node:assert/strict";
import { test } from "node:test";
import { apart, between, laneIn, lengthIn, placeOn } from "./why-layout";

const at = (seconds: number, fast: number, slow: number) => ({ seconds, fast, slow, behind: { feet: 0, metres: 0 } });
const track = [at(0, 0, 0), at(0.05, 0.2, 0.1), at(0.1, 0.4, 0.2), at(0.13, 0.5, 0.3)];

test("a ball is where the track says, and half-way between two of its places", () => {
  assert.deepEqual(between(track, 0.05), { fast: 0.2, slow: 0.1 });
  const middle = between(track, 0.075);
  assert.ok(Math.abs(middle.fast - 0.3) < 1e-12 && Math.abs(middle.slow - 0.15) < 1e-12);
});

test("before it and after it a ball stands at its ends", () => {
  assert.deepEqual([between(track, -1), between(track, 0), between(track, 9)], [{ fast: 0, slow: 0 }, { fast: 0, slow: 0 }, { fast: 0.5, slow: 0.3 }]);
});

test("the lane has room for what stands at its ends, on the narrowest phone too", () => {
  const lane = laneIn(260);
  assert.deepEqual([placeOn(lane, 0), placeOn(lane, 1)], [14, 220]);
});

test("no ball hides the other", () => {
  assert.deepEqual([apart(95, 100, 8), apart(50, 100, 8)], [84, 50]);
});

test("feet are said whole from three on", () => {
  const feet = (v: number) => lengthIn({ feet: v, metres: v * 0.3048 }, false);
  assert.deepEqual([feet(6.485), feet(2.446), feet(2.96), feet(0.73)], [6, 2.4, 3, 0.7]);
  assert.equal(lengthIn({ feet: 6.485, metres: 1.9766 }, true), 2);
});
