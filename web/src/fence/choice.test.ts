import assert from "node:assert/strict";
import { test } from "node:test";
import type { FieldLine } from "../api/types";
import { apart, choiceOf } from "./choice";

const line = (id: string, fate: FieldLine["fate"], place?: number): FieldLine => ({ id, at: 1, pitch: "fb", fate, ...(place ? { place } : {}) });

test("a plain yes joins what found its rep and leaves the rest to be looked at", () => {
  const outcome = { chance: 1, unread: [], lines: [line("a", "joins", 1), line("b", "stays", 2), line("c", "differs", 3), line("d", "no throw"), line("e", "is joined", 4), line("f", "new rep")] };
  assert.deepEqual(choiceOf(outcome, {}), { entries: ["a", "b", "f"], alone: [], aside: [] });
  assert.deepEqual(choiceOf(outcome, { a: "wait", c: "join", d: "alone", b: "aside" }), { entries: ["c", "f"], alone: ["d"], aside: ["b"] });
});

test("each two ways differ in what is shown of them", () => {
  const way = (...places: number[]) => ({ chance: 0.5, unread: [], lines: places.map((p, i) => line(`e${i}`, "joins", p)) });
  assert.deepEqual(apart([way(1, 2, 3), way(1, 3, 4)], 1).map((ls) => ls.map((l) => l.place)), [[2], [3]]);
  assert.deepEqual(apart([way(1, 2, 3, 4)]).map((ls) => ls.length), [3]);
  const late = [way(2, 3, 4, 5, 6), way(1, 2, 3, 4, 5), way(1, 2, 3, 4, 6)];
  assert.deepEqual(apart(late).map((ls) => ls.map((l) => l.place)), [[2, 3, 6], [1, 2, 5], [1, 2, 6]]);
});
