import assert from "node:assert/strict";
import { test } from "node:test";
import { fillOf } from "./fill";

const legs = { percent: 99, u: 1.5, within: true };
const right = { verdict: "in the band" } as const;

test("a shape is full only where gap and body are said to be right", () => {
  assert.equal(fillOf({ judged: right, body: { legs, told: "same body" } }), "full");
  assert.equal(fillOf({ judged: right }), "full", "not filmed: the strip it stands on says so");
  assert.equal(fillOf({ judged: { verdict: "soft" }, body: { legs, told: "same body" } }), "empty");
  assert.equal(fillOf({ judged: right, body: { legs, verdict: "slowed body", told: "slowed body" } }), "empty");
  assert.equal(fillOf({ judged: right, body: { legs, told: "slowed arm" } }), "empty", "all of the pitch's reps are said to be slower");
});

test("where the film can't tell the body it is half full, wherever the point lies", () => {
  assert.equal(fillOf({ judged: right, body: { legs, told: "can't tell" } }), "half");
  assert.equal(fillOf({ judged: right, body: { legs } }), "half", "no check is about it");
});
