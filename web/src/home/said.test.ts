import assert from "node:assert/strict";
import { test } from "node:test";
import type { BullpenCard, Film, Home, HomeworkCard, Lesson } from "../api/types";
import { agoText, dueText, thrown, todayText } from "./said";

const homework = (over: Partial<HomeworkCard>): HomeworkCard => ({
  id: "h", pitcherId: "p", pitcherLabel: "Wren", bullpenId: "b", title: "Legs", state: "new", created: 0, films: 1, reps: 0, places: 6, sore: false, typed: 0, ...over,
});
const pen = (over: Partial<BullpenCard>): BullpenCard => ({
  id: "x", version: 1, revision: 1, pitcherId: "p", pitcherLabel: "Wren", day: "2026-11-02", title: "", films: 1, reading: 0, reps: 0, readings: 0, clips: 0, ...over,
});
const home = (over: Partial<Home>, lessons: Pick<Lesson, "entries">[] = []) => todayText({ inbox: [], asked: [], lessons: lessons as Lesson[], films: [], bullpens: [], ...over });

test("the first page says in one line what waits, pain first and alone", () => {
  assert.equal(home({}), "Nothing waits for you.");
  assert.equal(home({ films: [{ state: "reading" } as Film] }), "Films are coming in.");
  assert.equal(home({ films: [{ state: "refused" } as Film] }), "1 refused film waits for you.");
  assert.equal(home({}, [{ entries: 9 }, { entries: 3 }]), "12 field readings wait for you.");
  const asked = [{ bullpenId: "b", pitcherLabel: "Jay", day: "2026-11-02", readings: 2 }];
  assert.equal(home({ films: [{ state: "refused" } as Film], asked }, [{ entries: 3 }]), "1 refused film, 2 odd readings and 3 field readings wait for you.");
  assert.equal(home({ inbox: [homework({})], films: [{ state: "refused" } as Film], asked }, [{ entries: 3 }]), "Homework from Wren, 1 refused film and more wait for you.");
  assert.equal(home({ inbox: [homework({})] }), "Homework from Wren waits for you.");
  assert.equal(home({ inbox: [homework({}), homework({ bullpenId: "c" })], bullpens: [pen({})] }), "Homework from Wren and 1 new film wait for you.");
  assert.equal(home({ inbox: [homework({}), homework({ pitcherLabel: "Jay" })] }), "Homework from Wren and Jay waits for you.");
  assert.equal(home({ inbox: ["Jay", "Lark", "Wren"].map((pitcherLabel) => homework({ pitcherLabel })) }), "Homework from 3 pitchers waits for you.");
  assert.equal(home({ inbox: [homework({ bullpenId: "x" })], bullpens: [pen({})] }), "Homework from Wren waits for you.", "its film is not counted twice");
  assert.equal(home({ bullpens: [pen({ reading: 1 }), pen({ reps: 3 })] }), "Nothing waits for you.");
  assert.equal(home({ asked: [{ bullpenId: "b", pitcherLabel: "Jay", day: "2026-11-02", readings: 2 }] }), "2 odd readings wait for you.");
  assert.equal(home({ inbox: [homework({}), homework({ pitcherLabel: "Jay", sore: true })] }), "Jay writes about pain. Read that first.");
  assert.equal(home({ inbox: [homework({ state: "answered", sore: true })] }), "Nothing waits for you.", "what is answered waits no more");
});

test("what homework has made stands among the bullpens once something of it is here", () => {
  const ids = (bullpens: BullpenCard[]) => thrown({ inbox: [homework({ bullpenId: "h" })], bullpens }).map((b) => b.id);
  assert.deepEqual(ids([pen({ id: "h", films: 0 }), pen({ id: "own", films: 0 })]), ["own"], "an empty one of her own stays: it was begun by hand");
  assert.deepEqual(ids([pen({ id: "h", films: 1 })]), ["h"]);
  assert.deepEqual(ids([pen({ id: "h", films: 0, reps: 2 })]), ["h"], "readings without film");
});

test("days are said from today", () => {
  assert.deepEqual(["2026-11-29", "2026-11-28", "2026-11-20", "2026-10-18"].map((d) => agoText(d, "2026-11-29")), ["today", "yesterday", "9 days ago", "6 weeks ago"]);
  assert.deepEqual(["2026-11-29", "2026-12-02", "2026-11-27"].map((d) => dueText(d, "2026-11-29")), ["homework due today", "homework due in 3 days", "homework 2 days overdue"]);
});
