import { test } from "node:test";
import assert from "node:assert/strict";
import { besideText, eyeText, eyeWords, paceText } from "./body";

test("a pace says how sure it is, never surer than one point", () => {
  assert.equal(paceText({ percent: 96.6, u: 1.8, within: true }), "97 % ± 2");
  assert.equal(paceText({ percent: 100, u: 0.2, within: true }), "100 % ± 1");
});

test("inside her own spread it is like her own fastballs, whatever the number", () => {
  assert.equal(besideText({ percent: 97, u: 2, within: true }, "fastballs"), "like her own fastballs");
  assert.equal(besideText({ percent: 88, u: 2, within: false }, "fastballs"), "on the slow side of her own fastballs, not shown to be slowed");
  assert.equal(besideText({ percent: 88, u: 2, within: false }, "fastballs", true), "slowed");
  assert.equal(besideText({ percent: 110, u: 2, within: false }, "off-speed pitches"), "on the fast side of her own off-speed pitches");
});

test("the instructor's own spread, measured or taken", () => {
  const eye = { millis: 9.2, known: true, marks: 20, day: "2026-11-25" };
  assert.equal(eyeWords(eye), "Your marks repeat within 9 ms.");
  assert.match(eyeText(eye), /Measured on 20 marks, 25 November 2026/);
  assert.match(eyeText({ millis: 8, known: false, marks: 0 }), /8 ms is taken until it is/);
});
