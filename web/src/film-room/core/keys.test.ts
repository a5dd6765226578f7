import assert from "node:assert/strict";
import { test } from "node:test";
import { keyCaps } from "../../words/key";
import { actionOf, keyFor, keyGroups } from "./keys";

test("no key means two things", () => {
  const seen = new Set<string>();
  for (const group of keyGroups) {
    for (const { keys } of group.bindings) {
      for (const key of keys) {
        assert.ok(!seen.has(key), `${key} is bound twice`);
        seen.add(key);
      }
    }
  }
});

test("letters work with caps lock and say something else with shift", () => {
  assert.deepEqual(actionOf({ key: "m" }), { do: "mark" });
  assert.deepEqual(actionOf({ key: "M" }), { do: "mark" });
  assert.deepEqual(actionOf({ key: "U", shiftKey: true }), { do: "redo" });
  assert.deepEqual(actionOf({ key: "z", metaKey: true }), { do: "undo" });
  assert.deepEqual(actionOf({ key: "Z", ctrlKey: true, shiftKey: true }), { do: "redo" });
});

test("a sign is a sign however the keyboard makes it", () => {
  assert.deepEqual(actionOf({ key: "?", shiftKey: true }), { do: "help" });
  assert.deepEqual(actionOf({ key: "+", shiftKey: true }), { do: "zoom", by: 1 });
  assert.deepEqual(actionOf({ key: "+" }), { do: "zoom", by: 1 });
});

test("the browser's own keys are left alone", () => {
  for (const press of [{ key: "r", ctrlKey: true }, { key: "c", ctrlKey: true }, { key: "ArrowLeft", altKey: true }, { key: "Tab" }, { key: "F5" }]) {
    assert.equal(actionOf(press), undefined);
  }
});

test("a held key steps and does not mark twice", () => {
  assert.deepEqual(actionOf({ key: "ArrowLeft", shiftKey: true }, true), { do: "step", frames: -10 });
  assert.equal(actionOf({ key: "m" }, true), undefined);
  assert.equal(actionOf({ key: "Delete" }, true), undefined);
});

test("keys are shown as they are printed on a keyboard", () => {
  assert.deepEqual(keyCaps("Shift+ArrowLeft"), ["Shift", "←"]);
  assert.deepEqual(keyCaps("+"), ["+"]);
  assert.equal(keyFor({ do: "mark" }), "M");
  assert.equal(keyFor({ do: "step", frames: -10 }), "Shift ←");
});
