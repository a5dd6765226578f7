import assert from "node:assert/strict";
import { test } from "node:test";
import { h } from "preact";
import { renderToString } from "preact-render-to-string";
import { SmallTarget, WeeksLine } from "./small-target";
import { labelAt, layOutSmall } from "./small-target-layout";

const band = { lo: 8, hi: 12, limit: 15 };

test("right gap and same body lie in the middle, too firm left of it, slowed down below", () => {
  const l = layOutSmall([{ gap: 10, body: 100, well: true }, { gap: 4, body: 100, well: false }, { gap: 10, body: 84, well: false }], band, { lo: 97, hi: 103 }, 150, 100);
  const [well, firm, slowed] = l.points;
  assert.ok(well!.x > l.middle.x0 && well!.x < l.middle.x1 && well!.y > l.middle.y0 && well!.y < l.middle.y1);
  assert.ok(firm!.x < l.middle.x0);
  assert.ok(slowed!.y > l.middle.y1);
  assert.equal(l.strip, undefined);
});

test("the spread's name ends before the first point in it, or is not there", () => {
  const at = (gap: number) => layOutSmall([{ gap, body: 100, well: true }], band, { lo: 97, hi: 103 }, 156, 104);
  const onEdge = at(8);
  const label = onEdge.same!.label!;
  assert.ok(label.x + label.width < onEdge.points[0]!.x - 4.2 && label.width > 55);
  assert.equal(at(3).same!.label, undefined);
  assert.deepEqual(layOutSmall([{ gap: 3, body: 80, well: false }], band, { lo: 97, hi: 103 }, 156, 104).same!.label, label);
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

// 8 and 12 mph times 1.609344, which is what an international mile has in kilometres.
test("a band in km/h is said in tenths, and its label stays inside the picture", () => {
  const told = { bullpenId: "b", day: "2026-05-01", pitchName: "change-up", drill: "", headline: "", unit: "km/h" as const, band: { pitch: "ch" as const, unit: "km/h" as const, lo: 12.874752, hi: 19.312128, limit: 24.14016 }, shots: [{ gap: 15.2, well: true }] };
  assert.match(renderToString(h(SmallTarget, { target: told })), />12\.9–19\.3 km\/h under</);
  const weeks = [{ day: "2026-04-24", gap: 15.2 }, { day: "2026-05-01", gap: 16 }];
  assert.match(renderToString(h(WeeksLine, { weeks, target: told })), /from 15\.2 to 16 km\/h; the band is 12\.9 to 19\.3\./);
  assert.equal(labelAt(20, "12.9–19.3 km/h under", 156), 66);
  assert.equal(labelAt(150, "12.9–19.3 km/h under", 156), 90);
  assert.equal(labelAt(80, "8–12 mph under", 156), 80);
});
