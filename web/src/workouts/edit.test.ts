import assert from "node:assert/strict";
import { test } from "node:test";
import { emptyWorkout, moreLines, moreSets, moved, withLine, withoutLine } from "./edit";

test("lines and sets come and go", () => {
  const start = emptyWorkout();
  const two = withLine(moreLines(start, 0), 0, 1, { pitch: "ch", reps: 3 });
  assert.deepEqual(two.sets[0]!.lines.map((l) => [l.pitch, l.reps]), [["fb", 5], ["ch", 3]]);
  const again = moreSets(two);
  assert.deepEqual(again.sets[1]!.lines, two.sets[0]!.lines);
  assert.equal(withoutLine(withoutLine(again, 1, 0), 1, 0).sets.length, 1);
  assert.equal(start.sets[0]!.lines.length, 1, "what was given stays as it was");
});

test("the last set stays", () => assert.equal(withoutLine(emptyWorkout(), 0, 0).sets.length, 1));

test("moving stops at the ends", () => {
  assert.deepEqual(moved(["a", "b", "c"], 0, 1), ["b", "a", "c"]);
  assert.deepEqual(moved(["a", "b", "c"], 0, -1), ["a", "b", "c"]);
  assert.deepEqual(moved(["a", "b", "c"], 2, 1), ["a", "b", "c"]);
});
