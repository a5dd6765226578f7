import { test } from "node:test";
import assert from "node:assert/strict";
import type { Summary } from "../api/types";
import { baselines, nextFor, offSpeed, say } from "./said";

const both = (mph: number) => ({ mph, kmh: mph * 1.609344 });

const change: Summary = {
  pitch: "ch", pitchName: "change-up", drill: "", gun: "behind catcher", n: 5, mean: both(35), range: { lo: both(33), hi: both(37) },
  baseline: { speed: both(55), policy: "mean", pitch: "fb", n: 6 }, meanGap: { mph: 20, kmh: 32.19, percent: 63.6, millis: 250.4 },
  verdict: "too soft", onEdge: false, band: { unit: "mph", lo: 8, hi: 12, limit: 15 }, bands: [], judged: 5, inBand: 1,
  share: { value: 0.2, lo: 0.04, hi: 0.62 }, nextInBand: 0.03, aim: { lo: both(43), hi: both(47) }, comeBackOn: { lo: both(8), hi: both(12) },
};
const fast: Summary = { ...change, pitch: "fb", pitchName: "fastball", verdict: "", bands: [] };
delete fast.band;

// Twenty slower means that 8 to 12 can come back on (common practice, no source).
test("twenty off: what can come back on", () => {
  assert.deepEqual(nextFor(change, "mph"), ["8 to 12 mph can come back on.", "Aim for 43 to 47 mph.", "Chance that the next one is in the band: 3 %."]);
});

test("a summary says gap, per cent, milliseconds and share", () => {
  const said = say(change, "mph", false);
  assert.equal(said.gap, "20 mph");
  assert.match(said.lines.join(" "), /35 mph on average under a baseline of 55 mph: 64 % of it, 250 ms later/);
  assert.match(said.lines.join(" "), /1 of 5 in the band \(20 %; likely between 4 % and 62 %/);
});

test("km/h throughout", () => {
  assert.equal(say(change, "km/h", false).gap, "32.2 km/h");
  assert.match(nextFor(change, "km/h")[0]!, /12.9 to 19.3 km\/h/);
});

test("baseline pitches and judged pitches are told apart", () => {
  assert.deepEqual(offSpeed([fast, change]), [change]);
  assert.deepEqual(baselines([fast, change]), [fast]);
});
