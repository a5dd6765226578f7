import assert from "node:assert/strict";
import { test } from "node:test";
import type { Removed } from "../api/types";
import { countText } from "./counted";

const none: Removed = { bullpens: 0, films: 0, reps: 0, clips: 0, copies: 0, homework: 0, slips: 0, shares: 0, typed: 0, uploads: 0, bytes: 0 };

test("what goes is counted in words", () => {
  assert.equal(countText(none), "nothing but the name");
  assert.equal(countText({ ...none, films: 1 }), "1 film");
  assert.equal(countText({ ...none, clips: 2, copies: 1 }), "2 clips and 1 clip in an answer");
  assert.equal(countText({ ...none, slips: 1, shares: 2 }), "1 homework link and 2 links to results");
  assert.equal(countText({ ...none, reps: 2, typed: 1 }), "2 reps and 1 reading from the field");
  assert.equal(countText({ ...none, bullpens: 2, reps: 14, uploads: 1 }), "2 bullpens, 14 reps and 1 film on its way");
});
