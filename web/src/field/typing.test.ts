import assert from "node:assert/strict";
import { test } from "node:test";
import { finish, press, valueOf, type Typing } from "./typing";

const empty: Typing = { digits: "", pitch: "fb" };
const typed = (keys: string, from = empty) => [...keys].reduce((t, key, i) => press(t, key === "<" ? "back" : key, 1000 + i), from);

test("digits make a reading, and no more than a gun shows", () => {
  for (const [keys, want] of [["47", 47], ["46.5", 46.5], ["46.55", 46.5], ["1045", 104], [".", undefined], ["0", undefined], ["47<8", 48], ["4<", undefined], ["4.", 4]] as const) {
    assert.equal(valueOf(typed(keys)), want, keys);
  }
});

test("the time is the first digit's, and of no reading the call's", () => {
  assert.equal(finish(typed("47"), "ball", 9000).at, 1_000_000);
  assert.equal(finish(typed("4<47"), "ball", 9000).at, 1_002_000); // typed anew
  assert.equal(finish(empty, "", 9000).at, 9_000_000);
});

test("the pitch stays for the next rep, the digits do not", () => {
  const done = finish({ ...typed("47"), pitch: "ch" }, "strike", 9000);
  assert.deepEqual([done.value, done.pitch, done.call], [47, "ch", "strike"]);
  assert.deepEqual(done.next, { digits: "", pitch: "ch" });
});
