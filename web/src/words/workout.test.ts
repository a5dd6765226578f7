import assert from "node:assert/strict";
import { test } from "node:test";
import { lineText, repsOf, setName } from "./workout";

const line = (reps: number) => ({ drill: "", pitch: "ch" as const, reps });
const sets = [{ times: 1, lines: [line(5)] }, { times: 3, lines: [line(2), line(3)] }, { times: 2, lines: [line(1)] }];

test("sets are counted through", () => {
  assert.deepEqual(sets.map((_, i) => setName(sets, i)), ["Set 1", "Sets 2 to 4", "Sets 5 and 6"]);
});

test("reps of all sets", () => assert.equal(repsOf({ sets }), 5 + 15 + 2));

test("a line in words", () => {
  const types = [{ code: "ch" as const, name: "change-up" }];
  assert.equal(lineText(line(5), types), "5 × change-up, full pitch");
  assert.equal(lineText({ ...line(5), drill: "Wrist snap" }, types), "5 × change-up, Wrist snap");
});
