import { test } from "node:test";
import assert from "node:assert/strict";
import type { Level, PitchType } from "../api/types";
import { levelText } from "./said";

test("a level says how far, which ball, and its bands", () => {
  const types: PitchType[] = [{ code: "ch", key: "c", name: "change-up", plural: "change-ups" }, { code: "dr", key: "d", name: "drop", plural: "drops" }];
  const level: Level = { key: "14U", version: 1, name: "14 and under", distanceFeet: 43, extensionFeet: 6, ballKind: "12 in", bands: { ch: { unit: "mph", lo: 9, hi: 13.25, limit: 16 } } };
  assert.equal(levelText(level, types), "43 ft, 12 in ball; change-up 9 to 13.25 mph");
  assert.equal(levelText({ ...level, distanceFeet: 60.5, ballKind: "baseball", bands: {} }, types), "60.5 ft, baseball");
});
