import assert from "node:assert/strict";
import { test } from "node:test";
import { rateText, rulerText, timeText } from "./said";

test("times of a film", () => {
  assert.equal(timeText(0), "0:00.000");
  assert.equal(timeText(4.1333), "0:04.133");
  assert.equal(timeText(59.9999), "1:00.000");
  assert.equal(timeText(751.05), "12:31.050");
});

test("a ruler names no digits finer than its step", () => {
  assert.equal(rulerText(4, 1), "0:04");
  assert.equal(rulerText(65, 5), "1:05");
  assert.equal(rulerText(4.2, 0.2), "0:04.2");
  assert.equal(rulerText(64.25, 0.05), "1:04.25");
  assert.equal(rulerText(60, 10), "1:00");
});

test("rates", () => {
  assert.equal(rateText(0.25), "¼ speed");
  assert.equal(rateText(1), "full speed");
});
