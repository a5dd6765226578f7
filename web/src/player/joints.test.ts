import test from "node:test";
import assert from "node:assert/strict";
import { bones } from "../pictures/bones";
import { JointsLayer, poseAt } from "./joints";

const run = (from: number, to: number, found: boolean, frames: number[] = []) => ({ from, to, found, poses: frames.map((frame) => ({ frame, joints: [] })) });

test("a run is asked for once, and what nobody looked at again when the bullpen has changed", async () => {
  const asked: number[] = [];
  let told = 0;
  const layer = new JointsLayer(
    () => told++,
    async (_, frame) => {
      asked.push(frame);
      return frame < 50 ? run(10, 49, true) : run(50, 99, false);
    },
  );
  assert.equal(layer.at("f", 20, 1), undefined);
  assert.equal(layer.at("f", 20, 1), undefined);
  await Promise.resolve();
  await Promise.resolve();
  assert.equal(layer.at("f", 49, 1)?.to, 49);
  assert.equal(layer.at("f", 49, 2)?.to, 49);
  assert.deepEqual(asked, [20]);
  layer.at("f", 60, 2);
  await Promise.resolve();
  await Promise.resolve();
  assert.equal(layer.at("f", 99, 2)?.found, false);
  assert.equal(layer.at("f", 99, 3), undefined);
  assert.deepEqual(asked, [20, 60, 99]);
  assert.equal(layer.at("g", 20, 1), undefined);
  assert.ok(told >= 2);
});

test("two films that are looked at in turn are asked for once each", () => {
  const asked: string[] = [];
  const layer = new JointsLayer(() => undefined, (film) => {
    asked.push(film);
    return new Promise(() => undefined); // it takes its time
  });
  for (let i = 0; i < 3; i++) for (const film of ["off", "fast"]) layer.at(film, 20, 0);
  assert.deepEqual(asked, ["off", "fast"]);
});

test("a frame that repeats the one before it shows the same pose; before the first there is none", () => {
  const r = run(10, 20, true, [11, 12, 15]);
  assert.equal(poseAt(r, 10), undefined);
  assert.equal(poseAt(r, 12)?.frame, 12);
  assert.equal(poseAt(r, 14)?.frame, 12);
  assert.equal(poseAt(r, 20)?.frame, 15);
});

test("every bone joins two joints of one side, or is the trunk's", () => {
  for (const { from, to, side } of bones) if (side !== "trunk") assert.equal(from % 2, to % 2);
  for (const { from, side } of bones) if (side !== "trunk") assert.equal(from % 2 === 1 ? "left" : "right", side);
});
