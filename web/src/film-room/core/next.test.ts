import assert from "node:assert/strict";
import { test } from "node:test";
import type { Film, Rep } from "../../api/types";
import { leftOf, nextOf, type Known } from "./next";
import { blank, film } from "./testing";

const filmed = (id: string, over: Partial<Film> = {}): Film => ({ ...film(id, 900, 0), state: "ready", steppable: true, view: "side", hasSound: true, slow: 1, ...over });
const rep = (id: string, over: Partial<Rep> = {}): Rep => ({ ...blank(id), filmId: "a", release: 100, pitch: "fb", ...over });
const read = { value: 55, unit: "mph", step: 1, gun: "behind catcher" } as Rep["reading"];
const known = (over: Partial<Known>): Known => ({
  bullpen: { gun: "behind catcher" }, films: [filmed("a")], film: "a", reps: [], proposed: [], baseline: { pitch: "fb", name: "fastball" }, marked: true, clips: new Set(), ...over,
});

test("one step at a time, in the order in which they can be done", () => {
  const unread = rep("r1");
  const done = rep("r1", { reading: read! });
  const table: [string, Partial<Known>, string, RegExp][] = [
    ["from where, once a rep is logged", { films: [filmed("a", { view: "" })], reps: [unread] }, "view", /phone stand\?/],
    ["proposals first, with the films that have none", { films: [filmed("a"), filmed("b"), filmed("c")], proposed: [{ filmId: "a" }, { filmId: "a" }] }, "act", /2 proposed reps wait .* 2 films have none yet/],
    ["then those films", { films: [filmed("a"), filmed("b")], reps: [done] }, "film", /1 film has none yet/],
    ["then readings, by ear where there is sound", { reps: [unread] }, "rep", /no reading.*aloud/],
    ["by hand where there is none", { films: [filmed("a", { hasSound: false })], reps: [unread] }, "rep", /1 rep has no reading\.$/],
    ["then where the gun stood", { reps: [done], bullpen: { gun: "not said" } }, "gun", /gun stand/],
    ["then one fastball's instants", { reps: [done], marked: false }, "rep", /Mark drive, plant, top on one fastball/],
    ["then the clips", { reps: [done] }, "act", /1 rep has no clip/],
    ["then nothing", { reps: [done], clips: new Set(["r1"]) }, "done", /All is logged/],
  ];
  for (const [name, over, kind, says] of table) {
    const next = nextOf(known(over));
    assert.equal(next?.kind, kind, `${name}: ${JSON.stringify(next)}`);
    assert.match(next!.says, says, name);
  }
  assert.equal(nextOf(known({})), undefined, "nothing is said of an empty bullpen");
});

test("the headline says all that is left", () => {
  const done = rep("r1", { reading: read! });
  const table: [string, Partial<Known>, string][] = [
    ["nothing yet", {}, ""],
    ["proposals and a film without", { films: [filmed("a"), filmed("b")], proposed: [{ filmId: "a" }, { filmId: "a" }] }, "Left to do: 2 proposed reps, 1 film without a rep."],
    ["a reading, her body and clips", { reps: [rep("r1"), done], marked: false }, "Left to do: 1 reading, marking her body on one fastball, 2 clips."],
    ["the gun", { reps: [done], bullpen: { gun: "not said" }, clips: new Set(["r1"]) }, "Left to do: the gun’s place."],
    ["where the phone stood", { films: [{ ...filmed("a"), view: "" }], reps: [done], clips: new Set(["r1"]) }, "Left to do: where the phone stood."],
    ["all of it", { reps: [done], clips: new Set(["r1"]) }, "1 rep, nothing left to do."],
  ];
  for (const [name, over, says] of table) assert.equal(leftOf(known(over)), says, name);
});

test("what is to be marked is a rep of the open film, if it has one", () => {
  const reps = [rep("r1", { reading: read!, order: 1 }), rep("r2", { reading: read!, filmId: "b", order: 2 })];
  const next = nextOf(known({ films: [filmed("a"), filmed("b")], film: "b", reps, marked: false }));
  assert.ok(next?.kind === "rep" && next.rep === "r2");
  const off = nextOf(known({ reps: [rep("r1", { reading: read!, pitch: "ch" })], marked: false }));
  assert.equal(off?.kind, "act", "without a fastball there is nothing to mark");
});
