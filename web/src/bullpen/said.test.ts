import { test } from "node:test";
import assert from "node:assert/strict";
import type { Summary } from "../api/types";
import { baselineSaid, baselines, offSpeed, say } from "./said";

const both = (mph: number) => ({ mph, kmh: mph * 1.609344 });

const change: Summary = {
  pitch: "ch", pitchName: "change-up", drill: "", gun: "behind catcher", n: 5, mean: both(35), range: { lo: both(33), hi: both(37) },
  baseline: { speed: both(55), policy: "mean", pitch: "fb", n: 6 }, meanGap: { mph: 20, kmh: 32.19, percent: 63.6, millis: 250.4 },
  verdict: "too soft", onEdge: false, band: { unit: "mph", lo: 8, hi: 12, limit: 15 }, bands: [{ unit: "mph", lo: 8, hi: 12, limit: 15 }], judged: 5, inBand: 1,
  share: { value: 0.2, lo: 0.04, hi: 0.62 }, nextInBand: 0.03, aim: { lo: both(43), hi: both(47) }, comeBackOn: { lo: both(8), hi: both(12) }, aimSaid: "45 mph (43 to 47)", comeBackOnSaid: "10 mph (8 to 12)",
};
const fast: Summary = { ...change, pitch: "fb", pitchName: "fastball", verdict: "", bands: [] };
delete fast.band;

test("a summary says gap, per cent, milliseconds and share", () => {
  const said = say(change, "mph", false, "fastball");
  assert.equal(said.gap, "20 mph");
  assert.match(said.lines.join(" "), /35 mph on average: 64 % of the baseline of 55 mph \(her fastball at that point of the bullpen\), 250 ms later/);
  assert.match(said.lines.join(" "), /1 of 5 in the band: 20 % of those thrown. Of many more like these likely between 4 % and 62 %; the next one by itself: a chance of 3 %./);
});

test("what the verdict means stands beside it: the band, and which edge the gap lies on", () => {
  assert.deepEqual(say(change, "mph", false, "fastball").about, ["The band is the gap to aim for: 8 to 12 mph under her fastball."]);
  const edge = { ...change, edgeOf: "soft" as const, edgeSaid: "On the edge: too soft begins at 15 mph." };
  assert.equal(say(edge, "mph", false, "fastball").about[1], edge.edgeSaid);
});

test("km/h throughout", () => {
  assert.equal(say(change, "km/h", false, "fastball").gap, "32.2 km/h");
});

test("the baseline pitch and the others are told apart", () => {
  assert.deepEqual(offSpeed([fast, change], "fb"), [change]);
  assert.deepEqual(baselines([fast, change], "fb"), [fast]);
  assert.deepEqual(offSpeed([fast, change], "ch"), [fast]);
});

// Read from another place than her fastballs, they have no gap, and that is said.
test("a pitch that waits for its gap stays, with the reason once", () => {
  const why = "In the full pitch the fastball was read from behind the catcher and this from behind the pitcher.";
  const waiting: Summary = { ...fast, pitch: "ch", pitchName: "change-up", gun: "behind pitcher", pending: why, chancePending: why };
  delete waiting.meanGap, delete waiting.baseline, delete waiting.nextInBand, delete waiting.aimSaid, delete waiting.comeBackOnSaid;
  assert.deepEqual(offSpeed([fast, waiting], "fb"), [waiting]);
  assert.equal(say(waiting, "mph", true, "fastball").lines[0], why);
});

test("what the gaps are counted from, in every case", () => {
  const typed: Summary = { ...change, baseline: { speed: both(58), policy: "typed", pitch: "dr", n: 0 } };
  assert.deepEqual(baselineSaid([fast, change], "fb", "fastball", "mph", false), ["Fastball: 55 mph baseline (her fastball at that point of the bullpen)."]);
  assert.deepEqual(baselineSaid([typed], "dr", "drop", "mph", false), ["Baseline: 58 mph, as typed. No drop was read this time."]);
  assert.deepEqual(baselineSaid([{ ...typed, pitch: "dr", pitchName: "drop", mean: both(55) }, typed], "dr", "drop", "mph", false), ["Drop: 55 mph on average; 58 mph baseline (the speed typed for her)."]);
  const waiting = { ...change };
  delete waiting.meanGap, delete waiting.baseline;
  assert.deepEqual(baselineSaid([waiting], "dr", "drop", "mph", false), ["No drop was read, so there is no gap to speak of yet."]);
});

test("a pitch that came in faster than the baseline is over it, and earlier", () => {
  const over: Summary = { ...change, meanGap: { ...both(-10), percent: -18, millis: -32 } };
  const said = say(over, "mph", false, "fastball");
  assert.equal(said.under, "10 mph over");
  assert.match(said.lines.join(" "), /32 ms earlier at the plate/);
});
