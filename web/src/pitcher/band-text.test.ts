import { test } from "node:test";
import assert from "node:assert/strict";
import type { Band } from "../api/types";
import { bandOf, sameBand, shown, textOf, typed } from "./band-text";

const band: Band = { unit: "mph", lo: 8.25, hi: 12, limit: 15 };

test("a number nobody touched stays what it is", () => {
  assert.deepEqual(bandOf(textOf(band)), band);
  assert.equal(textOf(band).lo.text, "8.25");
  assert.deepEqual(bandOf(typed(textOf(band), "hi", "12,5")), { ...band, hi: 12.5 });
});

test("a band in another unit is saved as it was worked out, not as it is shown", () => {
  const kmh: Band = { unit: "km/h", lo: 13.277088, hi: 19.312128, limit: 24.14016 };
  const text = textOf(kmh);
  assert.equal(text.lo.text, "13.3");
  assert.deepEqual(bandOf(typed(typed(text, "limit", "2"), "limit", "24.1")), kmh, "typed away and back");
  assert.equal(bandOf(typed(text, "lo", "13"))!.lo, 13);
});

test("there and back again is the same band", () => {
  assert.ok(sameBand(band, { ...band, lo: 8.25 + 2e-15 }));
  assert.ok(!sameBand(band, { ...band, lo: 8.2 }) && !sameBand(band, undefined) && sameBand(undefined, undefined));
  assert.equal(shown(8 - 1e-14), "8");
});

test("an empty field is no band", () => {
  assert.equal(bandOf(textOf(undefined)), undefined);
  assert.equal(bandOf(typed(textOf(band), "lo", " ")), undefined);
  assert.equal(bandOf(typed(textOf(band), "lo", "eight")), undefined);
});
