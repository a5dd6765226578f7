import assert from "node:assert/strict";
import { test } from "node:test";
import { fitting, roomy } from "./timeline-paint";

test("of places along a line those stand alone that no other comes near", () => {
  assert.deepEqual(roomy([0, 30, 60], 20), [true, true, true]);
  assert.deepEqual(roomy([0, 10, 60], 20), [false, false, true]);
  assert.deepEqual(roomy([], 20), []);
  // Two hundred on 900 pixels are 4.5 apart: none of them is drawn wider than that.
  assert.ok(roomy(Array.from({ length: 200 }, (_, i) => i * 4.5), 19).every((free) => !free));
});

test("flags thin out, and the one that is named first always stays", () => {
  const every = [50, 0, 10, 20, 30, 40, 60].map((x) => ({ x, wide: 18 }));
  assert.deepEqual(fitting(every), [true, true, false, true, false, false, false]);
});
