import assert from "node:assert/strict";
import { test } from "node:test";
import type { Drawing, Shape } from "../api/types";
import { Board } from "./board";

/** A board on a rep's frame, and the server's answers, each given when the test says so. */
function board() {
  const waiting: { method: string; answer: (body: object) => void }[] = [];
  globalThis.fetch = ((_: unknown, init: RequestInit) => new Promise<Response>((done) => {
    waiting.push({ method: init.method ?? "", answer: (body) => done(new Response(JSON.stringify(body), { headers: { "Content-Type": "application/json" } })) });
  })) as typeof fetch;
  const shown = { place: { repId: "r", frame: 7 }, size: { width: 1000, height: 500 }, coming: false };
  const b = new Board(() => shown, () => {}, () => {});
  const give = async (method: string, body: object) => {
    for (let i = 0; i < 50 && !waiting.some((w) => w.method === method); i++) await new Promise((next) => setTimeout(next));
    waiting.splice(waiting.findIndex((w) => w.method === method), 1)[0]!.answer(body);
    for (let i = 0; i < 20; i++) await new Promise((next) => setTimeout(next));
  };
  const draw = (...points: [number, number][]) => {
    for (const p of points) {
      b.sketch.press(p);
      b.sketch.release(p);
    }
  };
  return { b, shown, give, draw };
}

const angle: Shape = { kind: "angle", points: [[0.6, 0.4], [0.5, 0.6], [0.62, 0.75]], colour: 0, degrees: 83 };
const kept: Drawing = { frame: 7, version: 1, shapes: [angle] } as Drawing;

test("what is drawn while a rep's drawings are still asked for stays", async () => {
  const { b, give, draw } = board();
  b.follow(); // asks
  b.sketch.pick("angle");
  draw([0.6, 0.4], [0.5, 0.6], [0.62, 0.75]);
  await give("GET", { drawings: [] }); // as it was before
  assert.equal(b.sketch.state.shapes.length, 1);
  await give("PUT", kept);
  assert.equal(b.sketch.state.shapes[0]?.degrees, 83);
  assert.deepEqual(b.of("r"), [kept]);
});

test("an answer that is older than what was kept takes nothing away", async () => {
  const { b, give, draw } = board();
  b.follow();
  b.sketch.pick("angle");
  draw([0.6, 0.4], [0.5, 0.6], [0.62, 0.75]);
  await give("PUT", kept);
  await give("GET", { drawings: [] });
  assert.deepEqual(b.of("r"), [kept]);
});

test("a shape half made outlives the answer", async () => {
  const { b, give, draw } = board();
  b.follow();
  b.sketch.pick("angle");
  draw([0.6, 0.4], [0.5, 0.6]);
  await give("GET", { drawings: [] });
  assert.ok(b.sketch.state.pending.length >= 2);
});

test("drawing begins on the frame that was asked for, not on the one that goes", async () => {
  const { b, shown, give } = board();
  shown.place = { repId: "r", frame: 0 };
  shown.coming = true;
  b.follow();
  await give("GET", { drawings: [kept] });
  b.toggle();
  assert.equal(b.open, false);
  shown.place = { repId: "r", frame: 7 };
  shown.coming = false;
  b.follow();
  assert.equal(b.open, true);
  assert.equal(b.sketch.state.shapes.length, 1);
});

test("a picture that never comes keeps nobody from drawing", () => {
  const { b, shown } = board();
  shown.coming = true;
  b.toggle();
  b.toggle();
  assert.equal(b.open, true);
});
