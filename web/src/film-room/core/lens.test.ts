import assert from "node:assert/strict";
import { test } from "node:test";
import { closestZoom, drawnAs, panned, seen, under, wholePicture, zoomed, type Lens } from "./lens";

const near = (a: number, b: number) => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);

/** Where a place of the picture lies on the screen, in shares of what is seen. */
function onScreen(lens: Lens, at: { x: number; y: number }): [number, number] {
  const part = seen(lens);
  return [(at.x - part.x) / part.width, (at.y - part.y) / part.height];
}

test("what lies under the pointer stays there while the picture comes closer", () => {
  const at = { x: 0.6, y: 0.4 };
  let lens = wholePicture;
  for (const factor of [1.5, 2, 1.3, 0.7]) {
    const before = onScreen(lens, at);
    lens = zoomed(lens, factor, at);
    const after = onScreen(lens, at);
    near(before[0], after[0]);
    near(before[1], after[1]);
    const found = under(lens, after[0], after[1]);
    near(found.x, at.x);
    near(found.y, at.y);
  }
});

test("nothing beyond the picture is ever seen", () => {
  let lens = zoomed(wholePicture, 3, { x: 0, y: 1 });
  near(seen(lens).x, 0);
  near(seen(lens).y + seen(lens).height, 1);
  lens = panned(lens, 5, -5);
  near(seen(lens).x + seen(lens).width, 1);
  near(seen(lens).y, 0);
  assert.equal(zoomed(lens, 1000).zoom, closestZoom);
});

test("wide enough is the whole picture again, wherever it was", () => {
  assert.deepEqual(zoomed(panned(zoomed(wholePicture, 4), 0.3, 0.2), 0.01), wholePicture);
  assert.equal(drawnAs(wholePicture), "none");
});

// The transform is worked out by hand: of a picture 100 wide, twice as large and looking
// at its right lower quarter, the point (75, 75) comes to (50, 50).
test("CSS draws what is seen over the whole place", () => {
  const lens = zoomed(wholePicture, 2, { x: 1, y: 1 });
  assert.equal(drawnAs(lens), "scale(2) translate(-50%, -50%)");
});
