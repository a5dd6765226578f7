import assert from "node:assert/strict";
import { test } from "node:test";
import { Sendings, passes, type Carried, type Parcel } from "./sendings";

/** A world of the test's own: every film is carried by hand, every pause ends by hand. */
function world() {
  const carried: { name: string; from: string | undefined; on: Carried; stopped: boolean }[] = [];
  const arrived: string[] = [];
  const waits: { ms: number; call: () => void }[] = [];
  const sendings = new Sendings<Parcel>({
    carry: (file, from, on) => {
      const one = { name: file.name, from, on, stopped: false };
      carried.push(one);
      return { stop: () => void (one.stopped = true) };
    },
    changed: () => {},
    arrived: (file) => arrived.push(file.name),
    after: (ms, call) => {
      const wait = { ms, call };
      waits.push(wait);
      return () => void waits.splice(waits.indexOf(wait), 1);
    },
  });
  return { sendings, carried, arrived, waits, states: () => sendings.all.map((s) => s.state) };
}

const film = (name: string) => ({ name, size: 100 });

test("films go one after the other and leave the list when they are there", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.sendings.add(film("two"));
  assert.deepEqual(w.states(), ["sending", "waiting"]);
  w.carried[0]!.on.arrived();
  assert.deepEqual(w.arrived, ["one"]);
  assert.deepEqual(w.states(), ["sending"]);
  assert.ok(w.sendings.busy);
  w.carried[1]!.on.arrived();
  assert.ok(!w.sendings.busy);
});

test("a lost signal goes on by itself from where the server has it", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.carried[0]!.on.begun("/up/1");
  w.carried[0]!.on.sent(40);
  w.carried[0]!.on.failed({ status: 0, sentence: "" });
  assert.deepEqual(w.states(), ["interrupted"]);
  assert.equal(w.sendings.all[0]!.sent, 40);
  w.waits.shift()!.call();
  assert.deepEqual(w.states(), ["sending"]);
  assert.equal(w.carried[1]!.from, "/up/1");
});

test("pauses grow while nothing moves, and begin anew when something did", () => {
  const w = world();
  w.sendings.add(film("one"));
  const fail = () => w.carried.at(-1)!.on.failed({ status: 503, sentence: "" });
  const seen: number[] = [];
  for (let i = 0; i < 3; i++) {
    fail();
    seen.push(w.waits[0]!.ms);
    w.waits.shift()!.call();
  }
  assert.deepEqual(seen, [1000, 2000, 4000]);
  w.carried.at(-1)!.on.sent(10);
  fail();
  assert.equal(w.waits[0]!.ms, 1000);
});

test("the signal coming back ends the pause", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.carried[0]!.on.failed({ status: 0, sentence: "" });
  w.sendings.tryNow();
  assert.equal(w.waits.length, 0);
  assert.equal(w.carried.length, 2);
});

test("a paused film stops, lets the next one go, and goes on when asked", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.carried[0]!.on.begun("/up/1");
  w.sendings.add(film("two"));
  w.sendings.pause(1);
  assert.ok(w.carried[0]!.stopped);
  assert.deepEqual(w.states(), ["paused", "sending"]);
  w.carried[0]!.on.sent(99); // what a stopped one still says is not heard
  assert.equal(w.sendings.all[0]!.sent, 0);
  w.carried[1]!.on.arrived();
  assert.deepEqual(w.states(), ["paused"]);
  w.sendings.resume(1);
  assert.equal(w.carried[2]!.from, "/up/1");
});

test("a refused film says why and does not hold up the others", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.sendings.add(film("two"));
  w.carried[0]!.on.failed({ status: 413, sentence: "Too large." });
  assert.deepEqual(w.sendings.all.map((s) => [s.state, s.note]), [["refused", "Too large."], ["sending", ""]]);
  w.sendings.add(film("one")); // chosen again, it is tried again
  assert.deepEqual(w.states(), ["sending", "waiting"]);
});

test("the same film chosen twice is sent once", () => {
  const w = world();
  w.sendings.add(film("one"));
  w.sendings.add(film("one"));
  assert.equal(w.carried.length, 1);
});

test("what passes by itself and what does not", () => {
  for (const status of [0, 409, 423, 429, 500, 503]) assert.ok(passes(status), String(status));
  for (const status of [400, 401, 403, 404, 413]) assert.ok(!passes(status), String(status));
});
