import assert from "node:assert/strict";
import { test } from "node:test";
import { pictureAt } from "./strip";

test("a time has the picture that stands for it, the ends included", () => {
  const strip = { count: 10, every: 0.5 };
  assert.deepEqual([0, 0.49, 0.5, 4.99, 60, -1].map((s) => pictureAt(strip, s)), [0, 0, 1, 9, 9, 0]);
  assert.equal(pictureAt({ count: 0, every: 0.5 }, 1), undefined);
});
