import { test } from "node:test";
import assert from "node:assert/strict";
import type { RemarkRep } from "../api/types";
import { answer, begin, isOver, mark, missing, onward, within } from "./exercise";

const reps: RemarkRep[] = [
  { repId: "a", filmId: "f", label: "1. fastball", from: 100, to: 200, instants: ["drive", "release"] },
  { repId: "b", filmId: "f", label: "2. change-up", from: 300, to: 400, instants: ["release"] },
  { repId: "c", filmId: "g", label: "3. fastball", from: 10, to: 90, instants: ["release"] },
];

test("rep by rep, each instant once more, what can't be seen left out", () => {
  let e = begin(reps);
  assert.deepEqual(missing(e), ["drive", "release"]);
  e = mark(e, "drive", 120);
  e = mark(e, "drive", 121);
  e = mark(e, "top", 140);
  assert.deepEqual(missing(e), ["release"], "top is not asked for");
  e = onward(mark(e, "release", 160));
  e = onward(e);
  e = mark(e, "release", 50);
  assert.equal(isOver(e), false);
  e = onward(e);
  assert.ok(isOver(e));
  assert.equal(onward(e), e);
  assert.deepEqual(answer(e), [{ repId: "a", drive: 121, release: 160 }, { repId: "c", release: 50 }]);
});

test("only the stretch round the rep is shown", () => {
  const e = begin(reps);
  assert.equal(within(e, 0), 100);
  assert.equal(within(e, 150), 150);
  assert.equal(within(e, 999), 200);
});
