import assert from "node:assert/strict";
import { test } from "node:test";
import { differenceText } from "./difference";

const legs = (said: string, clear = true) => ({ from: "drive", to: "plant", said, clear }) as const;
const arm = (said: string, clear = true) => ({ from: "top", to: "release", said, clear }) as const;

test("what differs is said of the pitch it differs on", () => {
  const of = (...phases: Parameters<typeof differenceText>[1]) => differenceText("change-up", phases);
  assert.equal(of(legs("87 ms longer"), arm("18 ms longer")), "On this change-up her legs took 87 ms longer, her arm 18 ms longer.");
  assert.equal(of(legs("87 ms longer"), arm("+9 ms: too close to tell", false)), "On this change-up her legs took 87 ms longer, her arm +9 ms: too close to tell.");
  assert.equal(of(legs("+9 ms: within her usual spread", false), arm("18 ms longer")), "On this change-up her legs +9 ms: within her usual spread, her arm took 18 ms longer.");
  assert.equal(of(arm("18 ms shorter")), "On this change-up her arm took 18 ms shorter.");
  assert.equal(of(), "");
});
