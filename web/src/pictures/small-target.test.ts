import assert from "node:assert/strict";
import { test } from "node:test";
import { layOutSmall } from "./small-target-layout";

const band = { lo: 8, hi: 12, limit: 15 };

test("right gap and same body lie in the middle, too firm left of it, slowed down below", () => {
  const l = layOutSmall([{ gap: 10, body: 100, well: true }, { gap: 4, body: 100, well: false }, { gap: 10, body: 84, well: false }], band, { lo: 97, hi: 103 }, 150, 100);
  const [well, firm, slowed] = l.points;
  assert.ok(well!.x > l.middle.x0 && well!.x < l.middle.x1 && well!.y > l.middle.y0 && well!.y < l.middle.y1);
  assert.ok(firm!.x < l.middle.x0);
  assert.ok(slowed!.y > l.middle.y1);
  assert.equal(l.strip, undefined);
});

test("right gap whose body can't be told is neither full nor empty", () => {
  const l = layOutSmall([{ gap: 10, body: 100, well: false, half: true }, { gap: 10, body: 100, well: true }, { gap: 16, body: 100, well: false }], band, { lo: 97, hi: 103 }, 150, 100);
  assert.deepEqual(l.points.map((p) => p.fill), ["half", "full", "empty"]);
});

test("without film every rep lies on one line, and the middle is the band", () => {
  const l = layOutSmall([{ gap: 10, well: true }, { gap: 17, well: false }], band, undefined, 150, 100);
  assert.deepEqual(l.points.map((p) => p.y), [50, 50]);
  assert.deepEqual([l.middle.y0, l.middle.y1], [0, 100]);
  assert.ok(l.points.every((p) => p.x >= 0 && p.x <= 150));
});

test("a rep known by its gap alone stands on the strip", () => {
  const l = layOutSmall([{ gap: 10, body: 99, well: true }, { gap: 9, well: true }], band, { lo: 97, hi: 103 }, 150, 100);
  assert.ok(l.strip !== undefined && l.points[1]!.y > l.strip);
});
