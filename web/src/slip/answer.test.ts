import assert from "node:assert/strict";
import { test } from "node:test";
import { h } from "preact";
import { renderToString } from "preact-render-to-string";
import type { SlipAim, SlipAnswer, SlipPage } from "../api/types";
import { Answer } from "./answer";

const page = { unit: "mph", drills: [] } as unknown as SlipPage;
const gap = { mph: 2, kmh: 3.2, percent: 96 };

/** What she reads of an aim, line by line. */
function linesOf(aim: Partial<SlipAim>): string[] {
  const answer: SlipAnswer = { sentAt: 1777629600, words: "", clips: [], drawings: [], reps: [], aims: [{ pitch: "ch", drill: "", reps: 4, verdict: "", ...aim }] };
  const html = renderToString(h(Answer, { page, answer }));
  const aims = html.slice(html.indexOf('<ul class="aims">'), html.indexOf("</ul>"));
  return [...aims.matchAll(/<p>(.*?)<\/p>/g)].map((m) => m[1]!.replace(/<[^>]*>/g, ""));
}

test("a pitch without a band has a gap and no verdict, and what the body did is a line of its own", () => {
  assert.deepEqual(linesOf({ meanGap: gap, body: "Legs slowed: pitch 10." }), ["Change-up", "2 mph under your fastball on average", "Legs slowed: pitch 10."]);
  assert.deepEqual(linesOf({ meanGap: gap, verdict: "too firm" }), ["Change-up", "2 mph under your fastball on average: too firm"]);
  assert.deepEqual(linesOf({ body: "Same body." }), ["Change-up", "Same body."]);
});
