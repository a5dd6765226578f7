import { test } from "node:test";
import assert from "node:assert/strict";
import { inSetText } from "./place";

test("a place in a workout has one form", () => {
  assert.deepEqual([inSetText(2, 3), inSetText(2, 0), inSetText(0, 3), inSetText(0, 0)], ["set 2, no. 3", "set 2", "no. 3", ""]);
});
