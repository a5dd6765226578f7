import assert from "node:assert/strict";
import { test } from "node:test";
import { layOutPoses, type Spot } from "./pose-layout";

const none: Spot = [0, 0, 0];

test("both poses stand in one place at one scale, and what is lit lies between them", () => {
  const fast: Spot[] = [[0, 2, 1], [1, 1, 1], none];
  const off: Spot[] = [[0, 2, 1], [1, 0.5, 1], [0, 0, 1]];
  const laid = layOutPoses(fast, off, [1, 2]);
  assert.ok(laid);
  const [head, hand] = laid.fast;
  assert.equal(laid.fast[2], undefined);
  assert.deepEqual(laid.off[0], head);
  assert.equal(hand!.x - head!.x, hand!.y - head!.y);
  assert.equal(laid.off[1]!.y - hand!.y, (hand!.y - head!.y) / 2);
  assert.equal(laid.lit.length, 1, "a joint that one of them does not show is not lit");
  assert.equal(laid.lit[0]!.y, (laid.off[1]!.y + hand!.y) / 2);
  assert.ok(laid.lit[0]!.r > (laid.off[1]!.y - hand!.y) / 2);
  assert.equal(laid.ground, laid.off[2]!.y);
  for (const p of [...laid.fast, ...laid.off]) if (p) assert.ok(p.x > 0 && p.x < laid.width && p.y > 0 && p.y < laid.height);
});

test("a pose that nobody saw is no picture", () => assert.equal(layOutPoses([none], [none], [0]), undefined));
