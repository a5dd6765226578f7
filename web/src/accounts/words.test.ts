import assert from "node:assert/strict";
import { test } from "node:test";
import { hoursText, queueText } from "./words";

test("processor time is said in the unit that suits it", () => {
  assert.deepEqual([0.4, 59, 60, 3599, 3600, 12_600].map(hoursText), ["0 s", "59 s", "1 min", "60 min", "1.0 h", "3.5 h"]);
});

test("what waits is counted over all kinds, what runs is not", () => {
  assert.equal(queueText([{ kind: "read", state: "running", jobs: 2, oldest: 900 }]), "Nothing waits.");
  assert.equal(queueText([{ kind: "read", state: "queued", jobs: 1, oldest: 30 }]), "1 piece of work waits, the oldest for 30 s.");
  assert.equal(queueText([{ kind: "read", state: "queued", jobs: 2, oldest: 30 }, { kind: "clip", state: "queued", jobs: 3, oldest: 120 }]), "5 pieces of work wait, the oldest for 2 min.");
});
