import assert from "node:assert/strict";
import { test } from "node:test";
import { layOutTarget, roomFor, type Shot, type Zone } from "./target-layout";

const band = { lo: 8, hi: 12, limit: 15 };
const spread = { lo: 96, hi: 104 };
const inside = (z: Zone, p: { x: number; y: number }) => p.x >= z.x0 && p.x <= z.x1 && p.y >= z.y0 && p.y <= z.y1;

test("right gap and same body lies in the middle; a fault lies on its own side of it", () => {
  const shots: Shot[] = [
    { id: "well", order: 1, gap: 10, body: 100 },
    { id: "firm", order: 2, gap: 5, body: 100 },
    { id: "soft", order: 3, gap: 16, body: 101 },
    { id: "slowed", order: 4, gap: 10, body: 86 },
  ];
  const l = layOutTarget(shots, band, spread, 640, 420);
  const at = (id: string) => l.points.find((p) => p.of.id === id)!;
  assert.ok(inside(l.middle, at("well")));
  assert.ok(at("firm").x < l.middle.x0 && at("soft").x > l.middle.x1);
  assert.ok(at("slowed").y > l.middle.y1);
  for (const p of l.points) assert.ok(inside(l.field, p), p.of.id);
  assert.deepEqual(l.columns.map((c) => c.lines), [["too firm"], ["in the band"], ["soft"], ["too soft"]]);
});

test("the edges of the band are the middle's edges", () => {
  const l = layOutTarget([{ id: "lo", order: 1, gap: 8, body: 96 }, { id: "hi", order: 2, gap: 12, body: 104 }], band, spread, 500, 400);
  assert.ok(Math.abs(l.points[0]!.x - l.middle.x0) < 1e-9 && Math.abs(l.points[1]!.x - l.middle.x1) < 1e-9);
  assert.ok(Math.abs(l.points[0]!.y - l.middle.y1) < 1e-9 && Math.abs(l.points[1]!.y - l.middle.y0) < 1e-9);
});

test("a rep without film stands on the strip below, one without a reading beside", () => {
  const l = layOutTarget([{ id: "a", order: 1, gap: 9, body: 99 }, { id: "gun", order: 2, gap: 11 }, { id: "film", order: 3, body: 97 }], band, spread, 400, 360);
  assert.ok(inside(l.under!, l.points.find((p) => p.of.id === "gun")!));
  assert.ok(inside(l.beside!, l.points.find((p) => p.of.id === "film")!));
  for (const z of [l.under!, l.beside!]) assert.ok(z.x1 <= l.width && z.y1 <= l.height);
});

test("without film it is a line of gaps, and no row speaks of the body", () => {
  const l = layOutTarget([{ id: "a", order: 1, gap: 9 }, { id: "b", order: 2, gap: 9 }], band, undefined, 320, 130);
  assert.equal(l.rows.length, 0);
  assert.equal(l.whole, undefined);
  assert.ok(Math.abs(l.points[0]!.x - l.points[1]!.x) < 1e-9);
  assert.notEqual(l.points[0]!.y, l.points[1]!.y);
});

test("words in the field stop short of the band", () => {
  const shots = Array.from({ length: 8 }, (_, i) => ({ id: String(i), order: i + 1, gap: 6 + i, gapU: 0.7, body: 90 + i, bodyU: 2 }));
  const wide = layOutTarget(shots, band, spread, 900, 500);
  assert.ok(roomFor("as on the fastball", wide));
  assert.ok(!roomFor("as on the fastball", layOutTarget(shots, band, spread, 320, 300)));
});

test("at 320 pixels nothing lies outside, and no word is wider than its column", () => {
  const shots = Array.from({ length: 16 }, (_, i) => ({ id: String(i), order: i + 1, gap: 4 + i, gapU: 0.7, body: 84 + 1.3 * i, bodyU: 2 }));
  const l = layOutTarget(shots, band, spread, 320, 300);
  for (const p of l.points) assert.ok(inside(l.field, p));
  const room = [l.middle.x0 - l.field.x0, l.middle.x1 - l.middle.x0];
  l.columns.slice(0, 2).forEach((c, i) => c.lines.forEach((line) => assert.ok(6.2 * line.length <= room[i]!, line)));
});

test("on a phone every column has its name, in two lines where one is too wide", () => {
  const shots = Array.from({ length: 6 }, (_, i) => ({ id: String(i), order: i + 1, gap: 8 + i, gapU: 0.7, body: 96 + i, bodyU: 2 }));
  const l = layOutTarget(shots, band, spread, 328, 300);
  assert.deepEqual(l.columns.map((c) => c.lines), [["too firm"], ["in the", "band"], ["soft"], ["too", "soft"]]);
  assert.ok(l.field.y0 > layOutTarget(shots, band, spread, 640, 300).field.y0, "there is no room for two lines");
});
