import assert from "node:assert/strict";
import { test } from "node:test";
import { wayOf } from "./way";

test("bullpens read from different places of the gun are not joined", () => {
  assert.equal(
    wayOf([{ x: 0, y: 1, gun: "behind catcher" }, { x: 1, y: 2, gun: "behind catcher" }, { x: 2, y: 3, gun: "beside pitcher" }, { x: 3, y: 4, gun: "beside pitcher" }]),
    "M0.0 1.0L1.0 2.0M2.0 3.0L3.0 4.0",
  );
  assert.equal(wayOf([{ x: 0, y: 1 }, { x: 1, y: 2, gun: "beside pitcher" }]), "M0.0 1.0L1.0 2.0", "a place that is not known breaks nothing");
});
