import assert from "node:assert/strict";
import { test } from "node:test";
import { problemOf } from "./trust";

test("only strikes can be asked of all: elsewhere the last so many have to be said", () => {
  assert.equal(problemOf({ kind: "strikes", need: "60", of: "" }), "");
  assert.equal(problemOf({ kind: "bullpens", need: "3", of: "" }), "");
  assert.equal(problemOf({ kind: "in the band", need: "8", of: "" }), "Type of how many the last it asks.");
  assert.equal(problemOf({ kind: "in the band", need: "8", of: "10" }), "");
});

test("what is no number is not taken for all", () => {
  assert.equal(problemOf({ kind: "strikes", need: "60", of: "ten" }), "“ten” is no whole number: type of how many the last it asks, or nothing for all.");
  assert.equal(problemOf({ kind: "in the band", need: "8", of: "9.5" }), "“9.5” is no whole number: type of how many the last it asks.");
  assert.equal(problemOf({ kind: "spread", need: "two", of: "10" }), "“two” is no number of mph: type one.");
  assert.equal(problemOf({ kind: "spread", need: "1,5", of: "10" }), "");
});
