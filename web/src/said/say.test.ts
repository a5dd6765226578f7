import assert from "node:assert/strict";
import { test } from "node:test";
import { languageOf, plainlyIn, saidIn } from "./say";

const { en, es } = { en: saidIn("en"), es: saidIn("es") };

// Unicode CLDR, Language Plural Rules, cardinal: one for 1 alone in both.
test("a number takes its plural form", () => {
  assert.deepEqual([0, 1, 2, 21].map((n) => en.say("reps", { n })), ["0 reps", "1 rep", "2 reps", "21 reps"]);
  assert.deepEqual([0, 1, 2, 21].map((n) => es.say("reps", { n })), ["0 lanzamientos", "1 lanzamiento", "2 lanzamientos", "21 lanzamientos"]);
});

test("a pitcher and her parents are told without the trade's words", () => {
  assert.deepEqual([en, plainlyIn("en"), plainlyIn("es")].map(({ say }) => say("verdict.tooSoft")), ["too soft", "too slow", "muy lento"]);
  assert.deepEqual([plainlyIn("en").say("reps", { n: 1 }), plainlyIn("en").say("verdict.inTheBand")], ["1 pitch", "in the band"]);
});

test("values are text, never a text's own placeholders", () => {
  assert.equal(en.say("headline.but", { said: "{{.other}} $1" }), "But {{.other}} $1");
});

test("lists and days", () => {
  assert.deepEqual([en.list([]), en.list(["6"]), en.list(["6", "9"]), es.list(["3", "6", "9"])], ["", "6", "6 and 9", "3, 6 y 9"]);
  assert.deepEqual([en.day("2026-04-12"), es.day("2026-04-12"), en.day("soon")], ["12 April 2026", "12 de abril de 2026", "soon"]);
});

test("a language is known by its tag", () => {
  assert.deepEqual(["es-MX", "EN", "fr", undefined].map((tag) => languageOf(tag)), ["es", "en", undefined, undefined]);
});
