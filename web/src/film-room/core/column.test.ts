import assert from "node:assert/strict";
import { test } from "node:test";
import type { ReadingPairs } from "../../api/types";
import { adviceText, askedText, askedTogether, buttonText, countsText, enteredText } from "./column";

const pairs = (over: Partial<ReadingPairs>): ReadingPairs => ({
  pairs: [{ text: "55", new: false, otherPitch: false }], matched: 0, over: 0, behind: 0, new: 0, missing: 0, kept: 0, replaced: 0, shift: 0, saved: false, logged: [], revision: 1, ...over,
});

test("what to do with readings without a rep is said, and nothing where each has one", () => {
  const cases: [Partial<ReadingPairs>, boolean, RegExp][] = [
    [{ over: 3, behind: 3 }, false, /^No rep is logged yet: tick “new reps”, and each reading becomes one\.$/],
    [{ over: 3, behind: 3 }, true, /mark the releases on the film first/],
    [{ over: 1, behind: 1, matched: 2 }, true, /mark the missing release on the film/],
    [{ over: 2, behind: 2, matched: 2 }, false, /each one left over becomes a rep/],
    [{ over: 2, matched: 2 }, false, /2 readings stand before the first rep and will be left out/],
    [{ matched: 2, missing: 1 }, false, /^$/],
    [{ new: 3 }, false, /^$/],
    [{ over: 2, behind: 2, kept: 10 }, true, /^Every rep has a reading: tick “new reps” to log these as well, or shift up to replace what is there\.$/],
  ];
  for (const [found, filmed, want] of cases) assert.match(adviceText(pairs(found), filmed), want);
});

test("the counts, the button and the answer name new reps", () => {
  assert.equal(countsText(pairs({ new: 3 })), "3 get a new rep.");
  assert.equal(countsText(pairs({ matched: 4, new: 1, missing: 2 })), "4 matched, 1 gets a new rep, 2 reps without a reading.");
  assert.equal(countsText(pairs({ over: 1 })), "0 matched, 1 reading without a rep.");
  assert.equal(countsText(pairs({ new: 2, kept: 10 })), "2 get a new rep, 10 keep theirs.");
  assert.equal(buttonText(pairs({ matched: 2, replaced: 2 })), "Replace 2 readings");
  assert.equal(buttonText(pairs({ matched: 3, replaced: 1, new: 1 })), "Put 3 on the ledger, 1 of them replaces another, log 1 new rep");
  assert.equal(buttonText(undefined), "Put 0 on the ledger");
  assert.equal(buttonText(pairs({ new: 1 })), "Log 1 new rep");
  assert.equal(buttonText(pairs({ matched: 4, new: 2 })), "Put 4 on the ledger, log 2 new reps");
  assert.equal(enteredText({ changed: 1, logged: 0 }), "1 rep changed. U takes it back.");
  assert.equal(enteredText({ changed: 0, logged: 6 }), "6 new reps logged. U takes it back.");
});

test("a question about several readings is asked once", () => {
  const asked = (...doubts: string[]) => askedTogether(pairs({ pairs: doubts.map((doubt) => ({ text: "55", new: false, otherPitch: false, doubt })) }));
  assert.deepEqual(asked("", "a", "b", "a", "a", ""), ["a"]);
  assert.deepEqual(asked("", "a", "b"), []);
});

test("how many readings are asked about", () => {
  const pair = { text: "84", new: false, otherPitch: false };
  assert.equal(askedText(pairs({ pairs: [pair] })), "");
  assert.equal(askedText(pairs({ pairs: [pair, { ...pair, doubt: "Sure about 84 mph?" }] })), "1 asked about");
});
