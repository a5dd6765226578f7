import assert from "node:assert/strict";
import { test } from "node:test";
import { read, readCount, readLate, readNumber, type PitchKey } from "./entry";

const pitches: PitchKey[] = [
  { code: "fb", key: "f", name: "fastball" },
  { code: "ch", key: "c", name: "change-up" },
  { code: "os", key: "o", name: "off-speed" },
];

test("digits, then a letter", () => {
  assert.deepEqual(read("47c", pitches), { text: "47", pitch: "ch", value: 47 });
  assert.deepEqual(read("c47", pitches), { text: "47", pitch: "ch", value: 47 });
  assert.deepEqual(read("4f7C", pitches), { text: "47", pitch: "ch", value: 47 });
  assert.deepEqual(read("", pitches), { text: "" });
  assert.deepEqual(read("o", pitches), { text: "", pitch: "os" });
});

test("comma and point are the same and show the gun's step", () => {
  for (const raw of ["92,5", "92.5", " 92.5 ", "９２.５"]) {
    const entry = read(raw, pitches);
    assert.equal(entry.value, 92.5);
    assert.equal(entry.step, 0.1);
    assert.equal(entry.problem, undefined);
  }
  assert.deepEqual(read("47.", pitches), { text: "47.", value: 47 });
});

test("what was typed is kept as it was typed", () => {
  assert.equal(read("92,50", pitches).text, "92,50");
  assert.equal(read("047", pitches).text, "047");
});

test("what can't be a reading is said in a sentence", () => {
  for (const raw of ["4.7.", "0", "999", "47q", ","]) {
    assert.match(read(raw, pitches).problem ?? "", /\.$/, raw);
  }
  assert.match(read("47q", pitches).problem!, /“q”.*f fastball, c change-up/);
});

test("an odd but possible reading is not the field's business", () => {
  for (const raw of ["9", "140"]) assert.equal(read(raw, pitches).problem, undefined);
});

test("counts", () => {
  assert.equal(readCount("", 99), 0);
  assert.equal(readCount(" 12 ", 99), 12);
  assert.equal(typeof readCount("1.5", 99), "string");
  assert.equal(typeof readCount("100", 99), "string");
  assert.equal(readNumber(" "), undefined);
});

test("how late a sound is", () => {
  assert.equal(readLate(""), 0);
  assert.equal(readLate("0"), 0);
  assert.equal(readLate(" 0,12"), 0.12);
  assert.equal(readLate("-0.2"), -0.2);
  assert.equal(readLate("\u2212.5"), -0.5);
  assert.equal(typeof readLate("120"), "object");
  assert.equal(typeof readLate("late"), "object");
});
