import assert from "node:assert/strict";
import { test } from "node:test";
import type { Rep } from "../api/types";
import { askedOf } from "./sure";

test("both the film's and the numbers' questions are asked", () => {
  const rep = { id: "r", judged: {} } as Rep;
  assert.equal(askedOf(rep), "");
  assert.equal(askedOf({ ...rep, judged: { ...rep.judged, doubt: "Sure?" } }), "Sure?");
  assert.equal(askedOf({ ...rep, sure: true, judged: { ...rep.judged, doubt: "Sure?" } }), "");
  assert.equal(askedOf({ ...rep, filmSpeed: { doubt: "The film says 48." }, judged: { ...rep.judged, doubt: "Sure?" } } as Rep), "The film says 48. Sure?");
});
