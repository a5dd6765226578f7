import { test } from "node:test";
import assert from "node:assert/strict";
import { layOutPace } from "./pace-layout";

test("slower lies left of her fastball, faster right of it, ranges inside the picture", () => {
  const { rows, whole, left, right } = layOutPace([{ speed: 88, lo: 70, hi: 92 }, { speed: 103, lo: 99, hi: 120 }], 60, 360);
  assert.ok(rows[0]!.x < whole && rows[1]!.x > whole);
  for (const r of rows) assert.ok(left < r.x0 && r.x0 < r.x && r.x < r.x1 && r.x1 < right);
});

test("without a speed her fastball still has a place", () => {
  const { rows, whole } = layOutPace([], 0, 240);
  assert.deepEqual(rows, []);
  assert.equal(whole, 160);
});
