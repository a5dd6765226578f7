import assert from "node:assert/strict";
import { test } from "node:test";
import { routeOf, to } from "./routes";

test("every address leads back to its screen", () => {
  assert.deepEqual(routeOf(to.home), { screen: "home" });
  assert.deepEqual(routeOf(to.workouts), { screen: "workouts" });
  assert.deepEqual(routeOf(to.levels), { screen: "levels" });
  assert.deepEqual(routeOf(to.accounts), { screen: "accounts" });
  assert.deepEqual(routeOf(to.homework("h1")), { screen: "homework", id: "h1" });
  assert.deepEqual(routeOf(to.reps), { screen: "reps" });
  assert.deepEqual(routeOf(to.bullpen("a/b")), { screen: "bullpen", id: "a/b" });
  assert.deepEqual(routeOf(to.filmRoom("b1")), { screen: "film-room", id: "b1" });
  assert.deepEqual(routeOf(to.filmRoom("b1", "r1")), { screen: "film-room", id: "b1", rep: "r1" });
  assert.deepEqual(routeOf(to.report("b1")), { screen: "report", id: "b1" });
  assert.deepEqual(routeOf(to.again("b1")), { screen: "again", id: "b1" });
  assert.deepEqual(routeOf(to.pitcher("p1")), { screen: "pitcher", id: "p1" });
  assert.deepEqual(routeOf(to.sideBySide("r1", "r2")), { screen: "side-by-side", off: "r1", fast: "r2" });
  assert.deepEqual(routeOf(to.sideBySide("r1")), { screen: "side-by-side", off: "r1" });
});

test("anything else is nowhere", () => {
  for (const path of ["/bullpens", "/bullpens/a/b", "/nothing", "/pitchers/p/q"]) {
    assert.deepEqual(routeOf(path), { screen: "nowhere" });
  }
});
