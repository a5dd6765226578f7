import { test } from "node:test";
import assert from "node:assert/strict";
import { layOutBody, type Paced } from "./body-layout";
import { besideIn, layOutSplit } from "./split-layout";

const pace = (percent: number, u = 1.5): Paced => ({ percent, lo: percent - u, hi: percent + u });

test("faster lies higher, in the order thrown, inside the picture", () => {
  const out = layOutBody([pace(100), pace(90), pace(101), pace(78, 4)], { lo: 96, hi: 104 }, 600, 180);
  const [a, b, c, d] = out.dots as [typeof out.dots[0], typeof out.dots[0], typeof out.dots[0], typeof out.dots[0]];
  assert.ok(c.y < a.y && a.y < b.y && b.y < d.y);
  assert.ok(a.x < b.x && b.x < c.x && c.x < d.x);
  for (const dot of out.dots) assert.ok(dot.high < dot.y && dot.y < dot.low && dot.high > 0 && dot.low < 180 && dot.x > out.left && dot.x < out.right);
  assert.equal(a.y, out.whole);
  assert.ok(out.spread!.y0 < out.whole && out.spread!.y1 > out.whole);
});

test("without a spread or a rep there is still an axis", () => {
  const out = layOutBody([], undefined, 300, 160);
  assert.equal(out.spread, undefined);
  assert.ok(out.rows.length > 1 && Number.isFinite(out.whole));
});

test("the body's part comes first; the border may lie anywhere between its ends", () => {
  const out = layOutSplit({ gap: 10, body: 2, bodyLo: -1, bodyHi: 4 }, 200);
  assert.deepEqual(out, { x0: 0, x1: 200, border: 40, unsure: { x0: 0, x1: 80 } });
});

test("a body that was faster gave nothing, one that gave more than all gave all", () => {
  assert.equal(layOutSplit({ gap: 8, body: -1, bodyLo: -3, bodyHi: 0.5 }, 200).border, 0);
  assert.equal(layOutSplit({ gap: 8, body: 9, bodyLo: 7, bodyHi: 11 }, 200).border, 200);
  assert.equal(layOutSplit({ gap: 0, body: 0, bodyLo: 0, bodyHi: 0 }, 200).border, 0);
});

test("words under a place stay inside the width", () => {
  assert.equal(besideIn(200, 100, 400), 200);
  assert.equal(besideIn(10, 100, 400), 50);
  assert.equal(besideIn(390, 100, 400), 350);
  assert.equal(besideIn(10, 100, 80), 40);
});
