import assert from "node:assert/strict";
import { test } from "node:test";
import { placeText, shiftText } from "./planned";

const place = (set: number, number: number) => ({ set, line: 1, rep: number, number, drill: "", pitch: "ch" as const });

test("a place in words", () => {
  const places = [place(1, 1), place(1, 2), place(2, 1)];
  assert.equal(placeText(places, places[1]!, () => "change-up"), "Set 1, no. 2 of 2: full pitch, change-up");
});

test("shifts in words", () => {
  assert.deepEqual([0, 1, -1, -2].map(shiftText), ["", "(1 left out before it)", "(repeats the one before)", "(2 places back)"]);
});
