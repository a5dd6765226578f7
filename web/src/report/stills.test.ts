import { test } from "node:test";
import assert from "node:assert/strict";
import type { Rep } from "../api/types";
import { pickStills } from "./stills";

const both = (mph: number) => ({ mph, kmh: mph * 1.609344 });
function rep(id: string, pitch: "fb" | "ch", mph: number, over: Partial<Rep> = {}): Rep {
  const baseline = { speed: both(55), policy: "mean", pitch: "fb", n: 3 };
  const judged = pitch === "fb"
    ? { speed: both(mph), baseline, verdict: "", onEdge: false }
    : { speed: both(mph), baseline, verdict: 55 - mph > 12 ? "soft" : "in the band", onEdge: false, aim: { lo: both(43), hi: both(47) } };
  return { id, filmId: "f", release: 10, pitch, drill: "", warmUp: false, judged, ...over } as Rep;
}

test("the fastball nearest the baseline and the change-up nearest the band's middle", () => {
  const picked = pickStills([rep("a", "fb", 57), rep("b", "fb", 55), rep("c", "ch", 41), rep("d", "ch", 45), rep("e", "ch", 47)]);
  assert.deepEqual(picked.map((r) => r.id), ["b", "d"]);
});

test("only what was filmed and marked is shown; a bullpen may have neither", () => {
  const bare = rep("c", "ch", 45);
  delete (bare as Partial<Rep>).release;
  assert.deepEqual(pickStills([rep("a", "fb", 55), bare]).map((r) => r.id), ["a"]);
  assert.deepEqual(pickStills([]), []);
});

test("a drill is one drill however it is typed", () => {
  const picked = pickStills([rep("a", "fb", 55), rep("b", "fb", 50, { drill: "K drill" }), rep("c", "ch", 45, { drill: "k  Drill" })]);
  assert.deepEqual(picked.map((r) => r.id), ["b", "c"]);
});
