import assert from "node:assert/strict";
import { test } from "node:test";
import type { Rep } from "../api/types";
import { askedOf } from "./sure";

test("what is asked is asked until somebody says that it is right", () => {
  const rep = { id: "r", judged: {} } as Rep;
  assert.equal(askedOf(rep), "");
  assert.equal(askedOf({ ...rep, judged: { ...rep.judged, doubt: "Sure?" } }), "Sure?");
  assert.equal(askedOf({ ...rep, sure: true, judged: { ...rep.judged, doubt: "Sure?" } }), "");
});
