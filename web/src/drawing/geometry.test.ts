import assert from "node:assert/strict";
import { test } from "node:test";
import type { Shape } from "../api/types";
import { arc, degrees, distance, mostPoints, shapeAt, thinned, toShape, within, type Point } from "./geometry";

const wide = { width: 1600, height: 900 };
const near = (got: number | undefined, want: number) => assert.ok(got !== undefined && Math.abs(got - want) < 1e-9, `${got} is not ${want}`);
/** A point given in pixels of the wide picture. */
const at = (x: number, y: number): Point => [x / 1600, y / 900];
const shape = (kind: Shape["kind"], ...points: Point[]): Shape => ({ kind, points: points.map((p) => [...p]), colour: 0 });

test("an angle is the picture's own, whatever the picture's shape", () => {
  near(degrees([at(900, 400), at(800, 400), at(800, 300)], wide), 90);
  near(degrees([at(900, 400), at(800, 400), at(900, 300)], wide), 45);
  near(degrees([at(900, 400), at(800, 400), at(700, 400)], wide), 180);
  near(degrees([at(900, 400), at(800, 400), at(850, 400 - 50 * Math.sqrt(3))], wide), 60);
  assert.equal(degrees([at(1, 1), at(1, 1), at(2, 2)], wide), undefined);
  // The same shares on a tall picture are another angle.
  assert.notEqual(degrees([at(900, 400), at(800, 400), at(900, 300)], { width: 900, height: 1600 }), 45);
});

test("the arc lies between the legs", () => {
  assert.equal(arc([at(900, 400), at(800, 400), at(800, 300)], wide, 40), "M840.0 400.0A40.0 40.0 0 0 0 800.0 360.0");
  assert.equal(arc([at(800, 300), at(800, 400), at(900, 400)], wide, 40), "M800.0 360.0A40.0 40.0 0 0 1 840.0 400.0");
  assert.equal(arc([at(1, 1), at(1, 1), at(2, 2)], wide, 40), "");
});

test("distances to ink", () => {
  near(distance(at(0, 0), at(300, 400), wide), 500);
  near(toShape(at(50, 30), shape("line", at(0, 0), at(100, 0)), wide), 30);
  near(toShape(at(130, 40), shape("line", at(0, 0), at(100, 0)), wide), 50);
  near(toShape(at(100, 100), shape("circle", at(100, 100), at(160, 180)), wide), 100);
  near(toShape(at(300, 100), shape("circle", at(100, 100), at(160, 180)), wide), 100);
  near(toShape(at(3, 4), shape("note", at(0, 0)), wide), 5);
});

test("the topmost shape in reach is the one chosen", () => {
  const shapes = [shape("line", at(0, 0), at(100, 0)), shape("line", at(0, 5), at(100, 5))];
  assert.equal(shapeAt(at(50, 2), shapes, wide, 10), 1);
  assert.equal(shapeAt(at(50, 2), shapes, wide, 2), 0);
  assert.equal(shapeAt(at(50, 200), shapes, wide, 10), -1);
});

test("a straight stroke keeps its ends, a corner stays", () => {
  const straight = Array.from({ length: 50 }, (_, i) => at(10 * i, 10 * i));
  assert.deepEqual(thinned(straight, wide, 1), [straight[0], straight[49]]);
  const corner = [...Array.from({ length: 20 }, (_, i) => at(10 * i, 0)), ...Array.from({ length: 20 }, (_, i) => at(190, 10 * (i + 1)))];
  assert.deepEqual(thinned(corner, wide, 1), [at(0, 0), at(190, 0), at(190, 200)]);
});

test("no stroke has more points than are kept", () => {
  const wild = Array.from({ length: 5000 }, (_, i) => at(i % 1600, i % 2 === 0 ? 0 : 900));
  assert.ok(thinned(wild, wide, 1).length <= mostPoints);
});

test("points stay in the picture", () => assert.deepEqual(within([-1, 1.5]), [0, 1]));
