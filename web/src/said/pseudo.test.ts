// The student's page, a shared result and the report, shown in a language that nobody speaks: each text of
// the catalogue in letters that English has not. What is left of English was never in it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { h, type ComponentChild } from "preact";
import { renderToString } from "preact-render-to-string";
import english from "../../../internal/texts/en.json";
import type { SharePage, Sheet, SlipPage, Told } from "../api/types";
import { Page } from "../report/screen";
import { Result, Shut } from "../share/screen";
import { Homework, Nothing } from "../slip/screen";
import { Sendings, type SendingState } from "../slip/sendings";
import { Films } from "../slip/films";
import { InLanguage } from "./language";
import { languages, sayer } from "./say";

/** A text in fullwidth letters; placeholders stay. */
const strange = (text: string) => text.split(/(\{\{\.\w+\}\})/).map((part, i) => (i % 2 ? part : part.replace(/[A-Za-z]/g, (c) => String.fromCodePoint(c.codePointAt(0)! + 0xfee0)))).join("");

const catalogue = Object.fromEntries(Object.entries(english).map(([key, entry]) =>
  [key, typeof entry === "string" ? strange(entry) : Object.fromEntries(Object.entries(entry).map(([form, text]) => [form, strange(text)]))]));
const said = { ...sayer("en", catalogue), day: () => "1.2.3", moment: () => "1.2.3" };

/** English that is left in what is shown or read out. */
function englishIn(node: ComponentChild): string[] {
  const html = renderToString(h(InLanguage, { language: "en", said, children: node }));
  const read = [...html.matchAll(/ (?:aria-label|alt|title|placeholder|label)="([^"]*)"/g)].map((m) => m[1]!);
  const shown = html.replace(/<svg[^>]*>/g, " ").split(/<[^>]*>/);
  return [...read, ...shown].map((text) => text.replace(/&\w+;/g, " ").replace(/\b(mph|km\/h|kB|MB|GB|English|Español)\b/g, "").trim()).filter((text) => /[A-Za-z]/.test(text));
}

const speed = (mph: number) => ({ mph, kmh: mph * 1.609344 });
const gap = { ...speed(9), percent: 83 };
const page = {
  pitcher: "Ω", language: "en", due: "2026-05-02", expires: 1, unit: "mph", note: "", gun: "behind catcher", pitchTypes: [], drills: [{ name: "Δ", howTo: "Δ", example: "/1" }],
  workout: { title: "Σ", note: "Σ", reps: 6, places: [{ set: 1, line: 1, rep: 1, number: 1, drill: "", pitch: "fb" }], sets: [{ times: 2, lines: [{ drill: "Δ", pitch: "fb", reps: 2 }, { drill: "", pitch: "ch", reps: 1 }] }] },
  limits: { maxBytes: 8e9, maxFiles: 60, usedBytes: 3e6, usedFiles: 30 }, readings: [{ place: 0, value: 50, unit: "mph" }],
  films: [{ id: "1", name: "1.2", bytes: 3e6, state: "ready", sha256: "" }], arriving: [{ id: "2", name: "3.4", bytes: 9e6, received: 1e6 }],
  answer: {
    sentAt: 1, words: "Ω", gone: "", drawings: [{ order: 3, picture: "/3", shapes: [] }],
    clips: [{ title: "3", kind: "single", file: "/4", captions: "/5", fileName: "6", bytes: 7e5, seconds: 3, releaseSeconds: 2 }],
    reps: ["too firm", "in the band", "soft", "too soft"].map((verdict, i) => ({ order: i + 1, set: 1, number: i + 1, drill: "", pitch: "ch", reading: { value: 45, unit: "mph", step: 1, gun: "behind catcher" }, gap, verdict })),
    aims: [{ pitch: "ch", drill: "Δ", reps: 4, meanGap: gap, verdict: "soft", edgeOf: "in the band", soFar: true, aimSaid: "44 mph", comeBackOnSaid: "5 mph" }],
    next: { title: "Σ", note: "Σ", sets: [{ times: 1, lines: [{ drill: "", pitch: "cu", reps: 1 }] }] },
  },
} as unknown as SlipPage;

const nowhere = { carry: () => ({ stop: () => {} }), changed: () => {}, arrived: () => {}, after: () => () => {} };

test("nothing on the student's page is English by itself", () => {
  const shown = { page, sendings: new Sendings<File>(nowhere), refresh: () => {}, problem: "", choose: () => {} };
  const unanswered: SlipPage = { ...page };
  delete unanswered.answer;
  assert.deepEqual(englishIn(h(Homework, shown)), []);
  assert.deepEqual(englishIn(h(Homework, { ...shown, page: unanswered })), []);
  for (const closed of [true, false]) assert.deepEqual(englishIn(h(Nothing, { closed, problem: "1", refresh: () => {} })), []);
  const states: SendingState[] = ["waiting", "sending", "paused", "interrupted", "refused"];
  const sendings = states.map((state, id) => ({ id, file: { name: "1", size: 9 } as File, state, sent: 3, note: "", lost: true }));
  const nothing = () => {};
  assert.deepEqual(englishIn(h(Films, { sendings, arriving: [], films: [], pause: nothing, resume: nothing, remove: nothing, drop: nothing, choose: null })), []);
});

test("nothing on a shared result is English by itself", () => {
  const legs = { percent: 97, u: 2, within: true };
  const summary = { pitch: "ch", pitchName: "-", drill: "", gun: "behind catcher", meanGap: gap, bands: [{ unit: "mph", lo: 8, hi: 12, limit: 15 }] };
  const reps = [1, 2, 3].map((order) => ({ order, reading: { gun: "behind catcher" }, judged: { gap, uncertainty: speed(1), verdict: "in the band" }, body: order === 3 ? undefined : { legs, ...(order === 2 ? { verdict: "slowed body" } : {}) } }));
  const clip = (kind: string, orders: number[]) => ({ kind, older: true, file: "/1", captions: "/2", language: "es", fileName: "3", bytes: 7e5, seconds: 3, reps: orders.map((order) => ({ order, pitch: "ch" })) });
  const result = {
    pitcher: "Ω", language: "en", day: "2026-05-02", expires: 1, unit: "mph", baseline: "fb", pitch: { summary, reps, body: { own: { lo: 95, hi: 105 } } },
    told: [{ language: "en", headline: "1", others: ["2"], next: "3" }], clips: [clip("single", [1]), clip("pair", [1, 2])],
  } as unknown as SharePage;
  const language = null;
  assert.deepEqual(englishIn(h(Result, { page: result, problem: "", language })), []);
  const { pitch: _, ...bare } = result;
  assert.deepEqual(englishIn(h(Result, { page: { ...bare, told: [], clips: [] }, problem: "1", language })), []);
  for (const closed of [true, false]) for (const problem of ["", "1"]) assert.deepEqual(englishIn(h(Shut, { closed, problem, refresh: () => {} })), []);
});

test("nothing on the report is English by itself", () => {
  const legs = { percent: 97, u: 2, within: true };
  const reps = [1, 2, 3, 4].map((order) => ({
    id: String(order), order, pitch: "ch", pitchName: "-", drill: "", warmUp: false, reading: { gun: "behind catcher" },
    judged: { gap: order === 4 ? undefined : gap, uncertainty: speed(1), verdict: order === 4 ? "" : "in the band" }, body: order === 3 ? undefined : { legs, ...(order === 2 ? { verdict: "slowed body" } : {}) },
  }));
  const summary = { pitch: "ch", pitchName: "-", drill: "", gun: "behind catcher", meanGap: gap, bands: [{ unit: "mph", lo: 8, hi: 12, limit: 15 }] };
  const sheet = { bullpen: { id: "1", day: "2026-05-02", note: "Ω" }, pitcher: { label: "Ω", unit: "mph", baselinePitch: "fb" }, reps, summaries: [summary], films: [{}], body: { checks: [{ pitch: "ch", drill: "", own: { lo: 95, hi: 105 } }] } } as unknown as Sheet;
  const told = { language: "en", headline: "", next: "7", others: ["8"], pitch: "ch", gun: "behind catcher" } as unknown as Told;
  assert.deepEqual(englishIn(h(Page, { sheet, told })), []);
  // A parent reads it through: at most 80 words, the target's and the delivery sheet's own apart.
  for (const language of languages) {
    const next = "Legs and hips as fast as on the fastball; grip and hand take the speed off. Aim for 44 mph (43 to 46).";
    const html = renderToString(h(InLanguage, { language, children: h(Page, { sheet, told: { ...told, next, headline: "5 of 8 about ten off. Legs slowed: reps 6 and 9." } }) }));
    const words = html.replace(/<details.*?<\/details>|<figure.*?<\/figure>/gs, " ").replace(/<[^>]*>/g, " ").trim().split(/\s+/).length;
    assert.ok(words <= 80, `${language}: ${words} words`);
  }
  assert.deepEqual(englishIn(h("p", { title: "Save" }, "Late")), ["Save", "Late"]);
});
