import assert from "node:assert/strict";
import { test } from "node:test";
import type { Rep, Summary } from "../api/types";
import { foremostOf, stepOf } from "./next";

test("a bullpen has one next step: log, settle, hand out, share", () => {
  const rep = {} as Rep;
  const film = { steppable: true };
  assert.equal(stepOf({ reps: [], films: [], waiting: [] }), undefined, "films are asked for where they would stand");
  assert.equal(stepOf({ reps: [], films: [{ steppable: false }], waiting: [] }), undefined, "nothing can be done while it is read");
  assert.equal(stepOf({ reps: [], films: [film], waiting: [] }), "log reps");
  assert.equal(stepOf({ reps: [rep], films: [film], waiting: ["One rep has no reading."], offer: {} }), "settle", "what counts in nothing yet comes before a workout");
  assert.equal(stepOf({ reps: [rep], films: [], waiting: [], offer: {} }), "hand out");
  assert.equal(stepOf({ reps: [rep], films: [], waiting: [] }), "share");
});

test("the next thing to do is said of the pitch that the headline is about", () => {
  const [fb, drop, change] = [{ pitch: "fb" }, { pitch: "dr" }, { pitch: "ch" }] as Summary[];
  const of = { summaries: [fb!, drop!, change!], pitcher: { baselinePitch: "fb" as const } };
  assert.equal(foremostOf({ ...of, foremost: 2 }), change, "not of the pitch that came first");
  assert.equal(foremostOf(of), drop, "without a gap of the first that is not her fastball");
  assert.equal(foremostOf({ ...of, summaries: [fb!] }), undefined);
});
