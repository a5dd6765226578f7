import assert from "node:assert/strict";
import { test } from "node:test";
import type { Shape } from "../api/types";
import { Sketch, sentence } from "./sketch";

function sketch() {
  const kept: (readonly Shape[])[] = [];
  const s = new Sketch({ width: 1000, height: 500 }, (shapes) => kept.push(shapes), () => {});
  return { s, kept, kinds: () => s.state.shapes.map((x) => x.kind) };
}

test("a line is dragged, and kept once", () => {
  const { s, kept } = sketch();
  s.press([0.1, 0.1]);
  s.move([0.5, 0.5]);
  s.release([0.6, 0.6]);
  assert.equal(kept.length, 1);
  assert.deepEqual(kept[0], [{ kind: "line", points: [[0.1, 0.1], [0.6, 0.6]], colour: 0 }]);
});

test("an angle is put point by point, the vertex second", () => {
  const { s, kept } = sketch();
  s.pick("angle");
  for (const p of [[0.2, 0.2], [0.2, 0.6], [0.5, 0.6]] as const) {
    s.press(p);
    s.release(p);
  }
  assert.deepEqual(kept[0]?.[0]?.points, [[0.2, 0.2], [0.2, 0.6], [0.5, 0.6]]);
});

test("an angle's first leg may be dragged", () => {
  const { s, kept } = sketch();
  s.pick("angle");
  s.press([0.2, 0.2]);
  s.move([0.2, 0.6]);
  s.release([0.2, 0.6]);
  assert.equal(kept.length, 0);
  s.press([0.5, 0.6]);
  assert.deepEqual(kept[0]?.[0]?.points, [[0.2, 0.2], [0.2, 0.6], [0.5, 0.6]]);
});

test("a shape of no size is none", () => {
  const { s, kept } = sketch();
  s.key("Enter");
  s.key("Enter");
  assert.equal(kept.length, 0);
});

test("a line by keyboard alone", () => {
  const { s, kept } = sketch();
  s.key("Enter");
  for (let i = 0; i < 4; i++) s.key("ArrowRight", true);
  s.key("Enter");
  const [line] = kept[0]!;
  assert.deepEqual(line!.points[0], [0.5, 0.5]);
  assert.ok(Math.abs(line!.points[1]![0]! - 0.7) < 1e-9);
  assert.ok(s.state.byKeys);
});

test("freehand by pointer and by keyboard", () => {
  const { s, kinds } = sketch();
  s.pick("freehand");
  s.press([0.1, 0.1]);
  s.move([0.2, 0.3]);
  s.move([0.3, 0.1]);
  s.release([0.3, 0.1]);
  s.key(" ");
  s.key("ArrowDown", true);
  s.key("ArrowRight", true);
  s.key(" ");
  assert.deepEqual(kinds(), ["freehand", "freehand"]);
  assert.equal(s.state.shapes[0]!.points.length, 3);
});

test("a note needs words", () => {
  const { s, kept } = sketch();
  s.pick("note");
  s.press([0.4, 0.4]);
  assert.deepEqual(s.state.typing, [0.4, 0.4]);
  s.write("  ");
  assert.equal(kept.length, 0);
  s.press([0.4, 0.4]);
  s.write("hips are open");
  assert.equal(kept[0]?.[0]?.text, "hips are open");
});

test("undo and redo keep what they bring back", () => {
  const { s, kept, kinds } = sketch();
  s.press([0.1, 0.1]);
  s.release([0.6, 0.6]);
  s.undo();
  assert.deepEqual(kinds(), []);
  assert.deepEqual(kept.at(-1), []);
  s.redo();
  assert.deepEqual(kinds(), ["line"]);
  assert.equal(kept.at(-1)?.length, 1);
});

test("rubbing out takes the chosen shape, else the last", () => {
  const { s, kinds } = sketch();
  s.press([0.1, 0.1]);
  s.release([0.6, 0.1]);
  s.pick("circle");
  s.press([0.5, 0.8]);
  s.release([0.6, 0.8]);
  s.choose([0.3, 0.1], 10);
  s.key("Delete");
  assert.deepEqual(kinds(), ["circle"]);
  s.key("Delete");
  assert.deepEqual(kinds(), []);
  s.undo();
  s.undo();
  assert.deepEqual(kinds(), ["line", "circle"]);
});

test("escape drops the shape being made, then means nothing here", () => {
  const { s } = sketch();
  s.key("Enter");
  assert.ok(s.key("Escape"));
  assert.ok(!s.key("Escape"));
});

test("shapes in words", () => {
  assert.equal(sentence({ kind: "angle", points: [[0.1, 0.1], [0.2, 0.2], [0.3, 0.1]], colour: 0, degrees: 89.6 }), "Angle of 90°, high, left");
  assert.equal(sentence({ kind: "note", points: [[0.1, 0.1]], colour: 0, text: "open" }), "Note: open");
});
