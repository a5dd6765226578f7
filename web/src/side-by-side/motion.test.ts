import { test } from "node:test";
import assert from "node:assert/strict";
import { motionPath } from "./motion";

test("a line from the first value to the last, the highest on top", () => {
  assert.equal(motionPath({ from: -1, step: 0.5, values: [0, 1, 0.5] }, (s) => 100 + 100 * s, 24), "M0.0 22.0L50.0 2.0L100.0 12.0");
  assert.equal(motionPath({ from: -1, step: 0.5, values: [] }, (s) => s, 24), "");
});
