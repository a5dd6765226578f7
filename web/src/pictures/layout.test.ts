import { test } from "node:test";
import assert from "node:assert/strict";
import type { Rep } from "../api/types";
import { groups, layOut } from "./bullpen-layout";
import { layOutWeeks } from "./weeks-layout";
import { airy, lines, place, roundStep } from "./scale";
import { shapePath } from "./shape";

const both = (mph: number) => ({ mph, kmh: mph * 1.609344 });

function rep(order: number, pitch: "fb" | "ch", mph: number, drill = "", over: Partial<Rep> = {}): Rep {
  const judged = pitch === "fb"
    ? { speed: both(mph), baseline: { speed: both(55), policy: "mean", pitch: "fb", n: 3 }, verdict: "", onEdge: false }
    : { speed: both(mph), baseline: { speed: both(55), policy: "mean", pitch: "fb", n: 3 }, verdict: "in the band", onEdge: false, aim: { lo: both(43), hi: both(47) }, gap: { mph: 55 - mph, kmh: 0, percent: 0 } };
  return {
    id: `r${order}`, version: 1, bullpenId: "b", order, pitch, pitchName: pitch, drill, set: 0, number: 0,
    call: "", warmUp: false, note: "", reading: { value: mph, unit: "mph", step: 1, gun: "behind catcher" }, judged, ...over,
  } as Rep;
}

test("round steps", () => {
  assert.equal(roundStep(12, 6), 2);
  assert.equal(roundStep(40, 7), 10);
  assert.equal(roundStep(0, 7) > 0, true);
  assert.deepEqual(lines(40, 50, 5), [40, 45, 50]);
});

test("an empty or single value still has an axis", () => {
  for (const values of [[], [55]]) {
    const { from, to, step } = airy(values, 12, 7);
    assert.ok(to - from >= 12 && step > 0 && Number.isFinite(from));
  }
});

test("faster lies higher, the band lies under the baseline, marks lie inside", () => {
  const reps = [rep(1, "fb", 55), rep(2, "ch", 46), rep(3, "fb", 56), rep(4, "ch", 40)];
  const out = layOut(reps, [], "mph", 600, 300);
  const panel = out.panels[0]!;
  assert.equal(out.panels.length, 1);
  const y = panel.dots.map((d) => d.y);
  assert.ok(y[2]! < y[0]! && y[0]! < y[1]! && y[1]! < y[3]!);
  assert.equal(panel.baseline.length, 1);
  const band = panel.bands[0]!;
  assert.ok(band.y0 > panel.baseline[0]!.y0 && band.y1 > band.y0);
  assert.ok(panel.dots[1]!.y >= band.y0 && panel.dots[1]!.y <= band.y1, "46 lies in 43 to 47");
  assert.ok(panel.dots[3]!.y > band.y1, "40 lies under it");
  for (const d of panel.dots) assert.ok(d.x > 0 && d.x < 600 && d.y > 0 && d.y < 300);
});

test("drills and gun places stand apart, full pitches first", () => {
  const reps = [rep(1, "fb", 40, "K drill"), rep(2, "fb", 55), rep(3, "ch", 45)];
  assert.deepEqual(groups(reps).map((g) => [g.title, g.reps.length]), [["full pitch", 2], ["K drill", 1]]);
  const out = layOut(reps, [], "km/h", 360, 300);
  assert.ok(out.panels[0]!.x1 < out.panels[1]!.x0);
  assert.ok(out.panels[1]!.x1 <= 360);
});

test("warm-ups and reps without a reading are left out", () => {
  const bare = rep(2, "fb", 50);
  delete (bare as Partial<Rep>).reading;
  assert.equal(groups([rep(1, "fb", 30, "", { warmUp: true }), bare]).length, 0);
});

test("weeks: a larger gap lies lower", () => {
  const point = (bullpenId: string, mph: number) => ({ bullpenId, day: "2026-04-12", gun: "behind catcher" as const, gunSaid: "behind the catcher", n: 5, mean: both(45), meanGap: both(mph), sdGap: both(1), inBand: 3, judged: 5, band: { lo: both(8), hi: both(12) } });
  const out = layOutWeeks([point("a", 6), point("b", 14)], "mph", 400, 240);
  assert.equal(out.bands.length, 1);
  assert.ok(out.weeks[0]!.y < out.bands[0]!.y0 && out.weeks[1]!.y > out.bands[0]!.y1);
  assert.ok(out.weeks[0]!.high < out.weeks[0]!.y && out.weeks[0]!.low > out.weeks[0]!.y);
});

test("weeks: the band lies under each bullpen's own baseline, in her unit", () => {
  const point = (bullpenId: string, lo: number, hi: number) => ({ bullpenId, day: "2026-04-12", gun: "behind catcher" as const, gunSaid: "behind the catcher", n: 5, mean: both(45), meanGap: both(9), inBand: 3, judged: 5, band: { lo: both(lo), hi: both(hi) } });
  const points = [point("a", 7.5, 10), point("b", 9, 12), point("c", 9, 12)];
  for (const unit of ["mph", "km/h"] as const) {
    const out = layOutWeeks(points, unit, 400, 240);
    assert.equal(out.bands.length, 2);
    assert.equal(out.bands[0]!.x1, out.bands[1]!.x0);
    assert.ok(out.bands[1]!.y0 > out.bands[0]!.y0 && out.bands[1]!.y1 > out.bands[0]!.y1);
  }
  assert.equal(layOutWeeks(points, "mph", 400, 240, "reading").bands.length, 0);
});

test("weeks: readings from different places of the gun are not joined, gaps are", () => {
  const point = (bullpenId: string, gun: "behind catcher" | "beside pitcher") => ({ bullpenId, day: "2026-04-12", gun, gunSaid: gun, n: 5, mean: both(55), meanGap: both(9), inBand: 3, judged: 5 });
  const points = [point("a", "behind catcher"), point("b", "behind catcher"), point("c", "beside pitcher"), point("d", "beside pitcher")];
  const joins = (followed: "gap" | "reading") => layOutWeeks(points, "mph", 400, 240, followed).threads.map((d) => d.split(/[ML]/).length - 1);
  assert.deepEqual(joins("reading"), [2, 2]);
  assert.deepEqual(joins("gap"), [4]);
});

test("every pitch has a path; place maps ends onto ends", () => {
  for (const p of ["fb", "ch", "os", "dr", "ri", "cu", "sc", "dc"] as const) assert.match(shapePath(p, 10, 10, 5), /^M.*Z$/);
  assert.equal(place({ from: 0, to: 10, start: 100, end: 0 }, 10), 0);
});
