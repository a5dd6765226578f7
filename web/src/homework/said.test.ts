import assert from "node:assert/strict";
import { test } from "node:test";
import type { HomeworkCard } from "../api/types";
import { askedText, homeworkFacts, sendText, settleText } from "./said";

const card: HomeworkCard = {
  id: "h", pitcherId: "p", pitcherLabel: "Wren", bullpenId: "b", title: "Same body", state: "new", created: 0,
  films: 1, reps: 0, places: 6, sore: false, typed: 0,
};

test("a homework says all that came", () => {
  assert.equal(homeworkFacts(card), "1 film, 0 of 6 reps logged");
  assert.equal(homeworkFacts({ ...card, note: "windy", typed: 4 }), "1 film, a note, 4 readings, 0 of 6 reps logged");
  assert.equal(homeworkFacts({ ...card, films: 0, typed: 1 }), "no film yet, 1 reading, 6 reps to throw");
});

test("a card says one thing of an answer: sent, or more has come since", () => {
  const sentAt = Date.UTC(2026, 10, 20) * 1000;
  assert.match(homeworkFacts({ ...card, state: "answered", sentAt }), /answered 20 November 2026$/);
  assert.match(homeworkFacts({ ...card, state: "new", sentAt, filmAt: sentAt + 1 }), /more has come since your answer of 20 November 2026$/);
  assert.match(homeworkFacts({ ...card, state: "new", sentAt, filmAt: sentAt - 1, note: "it hurts when I land", sore: true }), /she has written since your answer of 20 November 2026$/);
  assert.doesNotMatch(homeworkFacts({ ...card, state: "new", sentAt, filmAt: sentAt + 1 }), /answered/);
});

test("what is still asked about is said before a reply goes", () => {
  const rep = (order: number, value: number) => ({ order, reading: { value, step: 1, unit: "mph" as const, gun: "behind catcher" as const } });
  assert.equal(askedText([rep(4, 84)]), "Rep 4’s reading is still asked about: 84 mph.");
  assert.equal(askedText([rep(4, 84), rep(6, 74)]), "2 readings are still asked about: rep 4, 84 mph; rep 6, 74 mph.");
  assert.equal(settleText(1), "Settle it first, or send it as it stands.");
  assert.equal(settleText(2), "Settle them first, or send them as they stand.");
});

test("the button that sends says what goes unsettled", () => {
  assert.equal(sendText(0, false), "Send the reply");
  assert.equal(sendText(0, true), "Send it anew");
  assert.equal(sendText(1, false), "Send the reply with that reading as it stands");
  assert.equal(sendText(2, true), "Send it anew, with those 2 readings as they stand");
});
