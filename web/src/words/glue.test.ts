import { test } from "node:test";
import assert from "node:assert/strict";
import { h, options, type VNode } from "preact";
import { glue, glueAll } from "./glue";

test("a number keeps its unit, words go on breaking", () => {
  assert.equal(glue("5 of 8 in the band (63 %; likely 31 % to 86 %)"), "5 of 8 in the band (63\u00a0%; likely 31\u00a0% to 86\u00a0%)");
  assert.equal(glue("10.4 mph, 127 ms, 97 % ± 2"), "10.4\u00a0mph, 127\u00a0ms, 97\u00a0% ±\u00a02");
  assert.equal(glue("2 sets, 3 fthings, 4 msx"), "2 sets, 3 fthings, 4 msx");
});

test("all that is shown is glued, also over elements, but a choice's text", () => {
  const before = options.vnode;
  glueAll();
  const shown = (node: VNode) => (node.props as { children: unknown }).children;
  try {
    assert.equal(shown(h("p", null, "44 mph")), "44\u00a0mph");
    assert.deepEqual(shown(h("td", null, 63, " %")), [63, "\u00a0%"]);
    assert.deepEqual((shown(h("p", null, h("b", null, "44"), " ", "mph under")) as unknown[]).slice(1), ["\u00a0", "mph under"]);
    assert.deepEqual((shown(h("p", null, h("b", null, "44"), " of ", "8")) as unknown[]).slice(1), [" of ", "8"]);
    assert.equal(shown(h("option", null, "43 ft")), "43 ft");
  } finally {
    if (before) options.vnode = before;
    else delete options.vnode;
  }
});
