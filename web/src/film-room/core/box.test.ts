import assert from "node:assert/strict";
import { test } from "node:test";
import { arrow, corners, fitted, least, moved, stretched } from "./box";

const box = { x: 0.3, y: 0.2, width: 0.4, height: 0.6 };

test("a box is moved as far as the picture goes", () => {
  assert.deepEqual(moved(box, 0.1, -0.1), { x: 0.4, y: 0.1, width: 0.4, height: 0.6 });
  assert.deepEqual(moved(box, 5, 5), { x: 0.6, y: 0.4, width: 0.4, height: 0.6 });
  assert.deepEqual(moved(box, -5, -5), { x: 0, y: 0, width: 0.4, height: 0.6 });
});

test("a corner is moved, the opposite one stays", () => {
  assert.deepEqual(stretched(box, "top left", -0.1, 0.1), { x: 0.2, y: 0.3, width: 0.5, height: 0.5 });
  assert.deepEqual(stretched(box, "bottom right", 0.1, 0.1), { x: 0.3, y: 0.2, width: 0.5, height: 0.7 });
  assert.deepEqual(stretched(box, "top right", 9, -9), { x: 0.3, y: 0, width: 0.7, height: 0.8 });
});

test("a box stays in the picture and never gets too small, wherever a corner is dragged", () => {
  for (const corner of corners) {
    for (const dx of [-9, -0.33, 0, 0.17, 9]) {
      for (const dy of [-9, -0.21, 0, 0.5, 9]) {
        const b = stretched(box, corner, dx, dy);
        assert.ok(b.x >= 0 && b.y >= 0 && b.x + b.width <= 1 + 1e-6 && b.y + b.height <= 1 + 1e-6, `${corner} ${dx} ${dy}`);
        assert.ok(b.width >= least - 1e-6 && b.height >= least - 1e-6, `${corner} ${dx} ${dy}`);
      }
    }
  }
});

test("a picture is fitted into its place with bars at the sides or above and below", () => {
  assert.deepEqual(fitted(1000, 450, 16 / 9), { left: 100, top: 0, width: 800, height: 450 });
  assert.deepEqual(fitted(900, 1600, 1), { left: 0, top: 350, width: 900, height: 900 });
});

test("arrows", () => {
  assert.deepEqual(arrow("ArrowUp"), { dx: 0, dy: -1 });
  assert.equal(arrow("a"), undefined);
});
