import { test } from "node:test";
import assert from "node:assert/strict";
import { countedFrom, layOutPhases } from "./phases";

const fast = { drive: -0.6, plant: -0.15, top: -0.14, release: 0 };
const slow = { drive: -0.69, plant: -0.16, top: -0.15, release: 0 };

test("both lie on one line of time, legs and arm as bars", () => {
  const out = layOutPhases([slow, fast], 500);
  assert.equal(out.lanes.length, 2);
  assert.deepEqual(out.lanes[0]!.bars.map((b) => b.part), ["legs", "arm"]);
  assert.ok(out.lanes[0]!.bars[0]!.x0 < out.lanes[1]!.bars[0]!.x0, "the slower legs begin earlier");
  for (const lane of out.lanes) for (const b of lane.bars) assert.ok(b.x0 > 0 && b.x1 < 500 && b.x1 > b.x0);
  assert.equal(out.lanes[0]!.ticks.find((t) => t.instant === "release")!.x, out.zero);
});

test("what is not known is left out", () => {
  const out = layOutPhases([{ release: 0 }, { plant: -0.2, drive: -0.1 }], 300);
  assert.deepEqual(out.lanes.map((l) => l.bars.length), [0, 0]);
  assert.deepEqual(out.lanes.map((l) => l.ticks.length), [1, 2]);
  assert.ok(Number.isFinite(layOutPhases([{}, {}], 300).zero));
});

test("played at another tempo, counted from where they are aligned", () => {
  assert.deepEqual(countedFrom({ plant: -0.55, release: 0 }, 0, 1.1), { plant: -0.5, release: 0 });
  assert.deepEqual(countedFrom({ drive: -0.6, plant: -0.1 }, -0.1, 1), { drive: -0.5, plant: 0 });
});
