import { test } from "node:test";
import assert from "node:assert/strict";
import { inUnit, slopeText } from "./slope";

test("a slope whose interval holds nought is no change", () => {
  assert.equal(slopeText("The gap", { perWeek: 0.3, lo: -0.2, hi: 0.8, n: 5 }, "mph"), "The gap shows no clear change (likely between −0.2 and 0.8 mph a week, 5 bullpens).");
});

test("a clear slope says which way", () => {
  assert.equal(slopeText("The gap", { perWeek: 0.05, lo: -0.04, hi: 0.14, n: 5 }, "mph"), "The gap shows no clear change (likely between 0.0 and 0.1 mph a week, 5 bullpens).");
  assert.equal(slopeText("The gap", { perWeek: 0.12, lo: 0.03, hi: 0.21, n: 5 }, "mph"), "The gap grows by 0.12 mph a week (likely between 0.03 and 0.21 mph a week, 5 bullpens).");
  assert.equal(slopeText("The spread", { perWeek: -0.4, lo: -0.7, hi: -0.1, n: 6 }, "mph"), "The spread falls by 0.4 mph a week (likely between −0.7 and −0.1 mph a week, 6 bullpens).");
  assert.match(slopeText("The share in the band", { perWeek: 0.05, lo: 0.01, hi: 0.09, n: 8 }, "%"), /grows by 5 points a week \(likely between 1 and 9 points/);
});

test("a speed's slope is said in her unit", () => {
  const both = (mph: number) => ({ mph, kmh: mph * 1.609344 });
  const slope = { perWeek: both(1), lo: both(0.5), hi: both(1.5), n: 4 };
  assert.equal(slopeText("The drop", inUnit(slope, "km/h"), "km/h"), "The drop grows by 1.6 km/h a week (likely between 0.8 and 2.4 km/h a week, 4 bullpens).");
  assert.match(slopeText("The drop", inUnit(slope, "mph"), "mph"), /1.0 mph/);
});

test("a share's slope beyond all shares is none", () => {
  assert.equal(slopeText("The share in the band", { perWeek: 0.18, lo: -1.19, hi: 1.56, n: 3 }, "%"), "The share in the band: 3 bullpens are too few to see a change.");
});
