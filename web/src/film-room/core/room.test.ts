import assert from "node:assert/strict";
import { test } from "node:test";
import { onlyMoved, proposalSentence } from "./room";
import type { Rep } from "../../api/types";
import { blank, film, mph, roomWith, settled } from "./testing";

test("a whole bullpen by the keyboard, five keys a rep besides stepping", async () => {
  const { press, ledger, server, keys } = roomWith([film("a", 3000, 0)]);
  const thrown = [["5", "5", "f"], ["4", "7", "c"], ["5", "6", "f"], ["4", "5", "c"]] as const;
  let stepping = 0;
  for (const [ten, one, pitch] of thrown) {
    for (let i = 0; i < 3; i++, stepping++) await press("Shift+ArrowRight");
    await press("m", ten, one, pitch, "Enter");
  }
  await settled(ledger);
  assert.deepEqual(
    server.reps_.map((r) => [r.order, r.release, r.pitch, r.reading?.value]),
    [[1, 30, "fb", 55], [2, 60, "ch", 47], [3, 90, "fb", 56], [4, 120, "ch", 45]],
  );
  assert.equal(keys() - stepping, 5 * thrown.length);
});

test("the mark lies on the frame that was on show, not on one still on its way", async () => {
  const { press, pane, ledger, server, room } = roomWith([film("a", 300, 0)]);
  pane.slow = true;
  await press("ArrowRight", "ArrowRight");
  await press("m", "4", "7", "Enter");
  assert.equal(server.reps_.length, 0, "no frame is confirmed yet");
  assert.equal(room.state.typing, undefined);
  pane.paint();
  await new Promise((resolve) => setImmediate(resolve));
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => [r.release, r.reading?.value]), [[2, 47]]);
});

test("digits typed right after the mark are the reading, never marks", async () => {
  const { press, pane, ledger, server } = roomWith([film("a", 300, 0)]);
  pane.slow = true;
  await press("ArrowRight", "m", "4", "2");
  pane.paint();
  await press("Enter");
  await settled(ledger);
  assert.equal(server.reps_[0]!.reading?.value, 42);
  assert.equal(server.reps_[0]!.plant, undefined);
});

test("a second mark on the same frame opens the rep that is there", async () => {
  const { press, ledger, server, said } = roomWith([film("a", 300, 0)]);
  await press("m", "4", "7", "Enter", "m", "4", "8", "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value), [48]);
  assert.match(said.join(" "), /already/);
});

test("a bad reading keeps the field open and says why", async () => {
  const { press, room, said } = roomWith([film("a", 300, 0)]);
  await press("m", "4", ".", ".", "Enter");
  assert.ok(room.state.typing);
  assert.match(said.pop()!, /not a number/);
});

test("Escape leaves the reading as it was; an emptied field takes it away", async () => {
  const { press, room, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("m", "4", "7", "Enter", "Enter");
  room.type("74");
  await press("Escape");
  await settled(ledger);
  assert.equal(server.reps_[0]!.reading?.value, 47);
  await press("Enter");
  room.type("");
  await press("Enter");
  await settled(ledger);
  assert.equal(server.reps_[0]!.reading, undefined);
});

test("other instants go on the chosen rep; release can be moved", async () => {
  const { press, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("Shift+ArrowRight", "Shift+ArrowRight", "m", "5", "5", "Enter");
  await press("Shift+ArrowLeft", "1", "ArrowRight", "2", "ArrowRight", "3", "Shift+ArrowRight", "4");
  await settled(ledger);
  const [rep] = server.reps_;
  assert.deepEqual([rep!.drive, rep!.plant, rep!.top, rep!.release], [10, 11, 12, 22]);
});

test("strike, ball and warm-up are switches", async () => {
  const { press, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("m", "Enter", "k", "w");
  await settled(ledger);
  assert.deepEqual([server.reps_[0]!.call, server.reps_[0]!.warmUp], ["strike", true]);
  await press("b", "w");
  await settled(ledger);
  assert.deepEqual([server.reps_[0]!.call, server.reps_[0]!.warmUp], ["ball", false]);
  await press("b");
  await settled(ledger);
  assert.equal(server.reps_[0]!.call, "");
});

test("a deleted rep comes back with undo and goes with redo", async () => {
  const { press, ledger, server, room } = roomWith([film("a", 300, 0)]);
  await press("m", "4", "7", "c", "Enter", "Delete");
  await settled(ledger);
  assert.equal(server.reps_.length, 0);
  await press("u");
  await settled(ledger);
  assert.equal(server.reps_[0]!.reading?.value, 47);
  assert.equal(room.chosen()?.rep.pitch, "ch");
  await press("Shift+u");
  await settled(ledger);
  assert.equal(server.reps_.length, 0);
});

test("up and down go from rep to rep, across films", async () => {
  const { press, room, ledger, pane } = roomWith([film("a", 900, 0), film("b", 900, 1)]);
  await press("Shift+ArrowRight", "m", "5", "5", "Enter");
  await press("PageDown", "ArrowRight", "ArrowRight", "m", "4", "7", "Enter");
  await settled(ledger);
  assert.deepEqual(pane.at, { film: "b", frame: 2 });
  await press("ArrowUp");
  assert.deepEqual(pane.at, { film: "a", frame: 10 });
  await press("ArrowDown");
  assert.deepEqual(pane.at, { film: "b", frame: 2 });
  room.choose(undefined);
  await press("End", "ArrowUp");
  assert.deepEqual(pane.at, { film: "b", frame: 2 });
});

test("one film per pitch: after the reading comes the next film", async () => {
  const films = [0, 1, 2].map((n) => film(`f${n}`, 90, n));
  const { press, ledger, server, room } = roomWith(films);
  for (let n = 0; n < 3; n++) await press("Shift+ArrowRight", "m", "5", String(n), "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.filmId).sort(), ["f0", "f1", "f2"]);
  assert.equal(room.state.film, "f2");
});

test("a film is opened again where it was left", async () => {
  const { press, pane } = roomWith([film("a", 900, 0), film("b", 900, 1)]);
  await press("Shift+ArrowRight", "PageDown", "PageUp");
  assert.deepEqual(pane.at, { film: "a", frame: 10 });
});

test("steps stay on the film", async () => {
  const { press, pane } = roomWith([film("a", 25, 0)]);
  await press("ArrowLeft");
  assert.equal(pane.at.frame, 0);
  await press("End", "Shift+ArrowRight");
  assert.equal(pane.at.frame, 24);
});

test("a film that is being read is stepped as far as it was read, and says so", async () => {
  const { press, pane, said } = roomWith([film("a", 300, 0)], [], false, 60);
  await press("Shift+ArrowRight");
  assert.equal(said.length, 0);
  await press("End", "ArrowRight");
  assert.equal(pane.at.frame, 59);
  assert.deepEqual(said, Array(2).fill("The film was read as far as here. The rest comes while it is read."));
  const whole = roomWith([film("a", 300, 0)]);
  await whole.press("End", "ArrowRight");
  assert.equal(whole.pane.at.frame, 299);
  assert.deepEqual(whole.said, []);
});

test("a film that plays on or is stepped is told from one that does anything else", () => {
  const { room } = roomWith([film("a", 300, 0)]);
  const playing = { ...room.state, playing: true };
  assert.ok(onlyMoved(playing, { ...playing, frame: 5, wanted: 5 }));
  assert.ok(onlyMoved(room.state, { ...room.state, wanted: 1 }));
  assert.ok(!onlyMoved(playing, { ...playing, frame: 5, playing: false }));
  assert.ok(!onlyMoved(room.state, playing));
  assert.ok(!onlyMoved(playing, { ...playing, frame: 5, chosen: "r" }));
});

test("play, slower, loop around the release, stop by stepping", async () => {
  const { press, pane, room } = roomWith([film("a", 300, 0)]);
  await press("Space", "s", "s", "s", "s", "f");
  assert.deepEqual(pane.log, ["play at 1", "play at 0.5", "play at 0.25", "play at 0.125", "play at 0.125", "play at 0.25"]);
  await press("ArrowRight");
  assert.equal(room.state.playing, false);
  for (let i = 0; i < 6; i++) await press("Shift+ArrowRight");
  await press("m", "Enter", "l");
  assert.equal(pane.log.at(-1), "loop 37-73 at 0.25");
  await press("l");
  assert.equal(room.state.looping, false);
});

test("a new rep carries the drill on and counts", async () => {
  const { press, room, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("m", "Enter");
  room.edit(room.state.chosen!, { drill: "K drill", set: 2, number: 3 });
  await press("Shift+ArrowRight", "m", "4", "7", "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => [r.drill, r.set, r.number]), [["K drill", 2, 3], ["K drill", 2, 4]]);
});

test("a new rep of a homework carries nothing on: its workout says what it is", async () => {
  const { press, room, ledger, server } = roomWith([film("a", 300, 0)], [], true);
  await press("m", "Enter");
  room.edit(room.state.chosen!, { drill: "K drill", set: 2, number: 3 });
  await press("Shift+ArrowRight", "m", "4", "7", "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => [r.drill, r.set, r.number])[1], ["", 0, 0]);
});

test("the gun's step follows what it was seen to show", async () => {
  const { press, room, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("m", "4", "7", ",", "5", "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_[0]!.reading, { ...mph(47.5), step: 0.1 });
  await press("Enter");
  assert.equal(room.state.typing?.text, "47.5");
});

test("what needs a rep says so without one", async () => {
  const { press, said, errands } = roomWith([film("a", 300, 0)]);
  await press("k", "Delete", "Enter", "1", "t", "v");
  assert.equal(said.length, 6);
  for (const sentence of said) assert.match(sentence, /Choose a rep first/);
  await press("c", "r", "?", "+", "0");
  assert.deepEqual(errands, ["clips", "column", "help", "zoom", "whole"]);
});

test("without film a rep is logged by its reading alone", async () => {
  const { press, ledger, server, said } = roomWith([]);
  await press("ArrowRight", "Space", "l", "u", "m", "4", "7", "c", "Enter");
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => [r.filmId, r.release, r.reading?.value]), [[undefined, undefined, 47]]);
  assert.deepEqual(said, ["There is nothing to undo."]);
});

const proposed = (id: string, release: number, over: object = {}) => ({
  id, filmId: "a", from: release - 20, to: release + 15, release, sure: true, confidence: 0.98, rough: false, vague: false, reason: "motion and pop", state: "open", ...over,
});

test("a proposal says how well its release is known, unless that is to a frame", () => {
  const said = (over: object) => proposalSentence(proposed("p", 100, over)).replace(/^.*?\. ?/, "");
  assert.equal(said({ within: 1 }), "");
  assert.equal(said({ within: 2 }), "Its release is found within 2 frames of what the marks say: step to it.");
  assert.equal(said({ vague: true }), "Its release was not surely found: step to it.");
  assert.equal(said({ rough: true }), "Its release is rough until one release of this film is marked.");
});

test("N goes from proposal to proposal, and a confirmed reading goes on to the next", async () => {
  const { room, pane, press, ledger, keys } = roomWith([film("a", 900, 0)], [
    proposed("p1", 100), proposed("faint", 200, { reason: "unexplained motion" }), proposed("walk", 240, { reason: "walk back" }), proposed("p2", 300), proposed("p3", 500),
  ]);
  pane.paint();
  await press("n");
  assert.equal(room.state.wanted, 100);
  pane.paint();
  await press("m", "5", "4", "f", "Enter");
  assert.equal(room.state.wanted, 300, "on to the next proposal by itself");
  pane.paint();
  await press("m", "4", "5", "c", "Enter");
  pane.paint();
  assert.equal(room.state.wanted, 500);
  assert.deepEqual(ledger.rows().map(({ rep }) => [rep.release, rep.reading?.value, rep.pitch]), [[100, 54, "fb"], [300, 45, "ch"]]);
  assert.equal(keys(), 11, "one key to the first, then five a rep");
  await press("p");
  assert.equal(room.state.wanted, 500, "nothing is proposed before it any more");
});

test("X throws a proposal out and takes it back", async () => {
  const proposals = [proposed("p1", 100), proposed("p2", 300)];
  const { room, pane, press, said } = roomWith([film("a", 900, 0)], proposals);
  pane.paint();
  await press("n");
  pane.paint();
  await press("x");
  assert.equal(proposals[0]!.state, "thrown out");
  await press("x");
  assert.equal(proposals[0]!.state, "open");
  await press("x", "n");
  assert.equal(room.state.wanted, 300);
  pane.paint();
  await press("n");
  assert.match(said[said.length - 1]!, /only one left/);
});

test("beyond the last proposal N goes round to the first, and P the other way", async () => {
  const { room, pane, press, said } = roomWith([film("a", 900, 0), film("b", 900, 1)], [proposed("p1", 100), proposed("p2", 300, { filmId: "b" })]);
  pane.paint();
  await press("n");
  pane.paint();
  await press("n");
  pane.paint();
  assert.deepEqual([room.state.film, room.state.wanted], ["b", 300]);
  await press("n");
  assert.deepEqual([room.state.film, room.state.wanted], ["a", 100]);
  assert.match(said[said.length - 1]!, /round to the first/);
  pane.paint();
  await press("p");
  assert.deepEqual([room.state.film, room.state.wanted], ["b", 300]);
});

test("H plays what follows the pop, two digits and Enter go to the next rep without a reading", async () => {
  const sounding = { ...film("a", 900, 0), hasSound: true, slow: 1 };
  const { room, pane, press, ledger } = roomWith([sounding]);
  pane.paint();
  for (const at of [100, 300, 500]) {
    room.go(at);
    pane.paint();
    await press("m", "Escape");
  }
  await press("4");
  room.choose(ledger.rows()[0]!.key);
  pane.paint();
  await press("h");
  assert.equal(room.state.typing?.byEar, true);
  assert.equal(pane.log[pane.log.length - 1], "once 112-175 at 1", "0.4 s after release to two seconds after the pop, at 30 frames a second");
  await press("5", "4", "Enter");
  pane.paint();
  await press();
  assert.equal(ledger.rows()[0]!.rep.reading?.value, 54);
  assert.equal(room.state.chosen, ledger.rows()[1]!.key, "on to the next");
  assert.equal(room.state.typing?.byEar, true, "and it is heard");
  await press("4", "5", "Enter");
  pane.paint();
  await press("5", "5", "Enter");
  assert.deepEqual(ledger.rows().map(({ rep }) => rep.reading?.value), [54, 45, 55]);
  assert.equal(room.state.typing, undefined, "after the last one nothing waits");
});

test("nothing counts before it is confirmed", async () => {
  const { ledger, press, pane } = roomWith([film("a", 900, 0)], [proposed("p1", 100)]);
  pane.paint();
  await press("n");
  pane.paint();
  assert.equal(ledger.rows().length, 0);
});

test("a rep marked a frame before its proposal is not proposed again", async () => {
  const { room, pane, press } = roomWith([film("a", 900, 0)], [proposed("p1", 100), proposed("p2", 300)]);
  pane.paint();
  await press("n");
  pane.paint();
  await press("ArrowLeft");
  pane.paint();
  await press("m", "5", "4", "f", "Enter");
  assert.equal(room.state.wanted, 300);
});

test("a reading typed over one that another window changed meanwhile is not saved silently", async () => {
  const { press, room, ledger, server } = roomWith([film("a", 300, 0)]);
  await press("m", "5", "0", "Enter");
  await settled(ledger);
  await press("Enter");
  server.put("id1", { reading: mph(74) });
  ledger.adopt(server.revision, (await server.reps()).reps);
  room.type("47");
  await press("Enter");
  await settled(ledger);
  assert.equal(ledger.saving.state, "clash");
  assert.equal(server.reps_[0]!.reading?.value, 74);
  ledger.choose("theirs");
  await settled(ledger);

  await press("Enter");
  server.put("id1", { reading: mph(75) });
  ledger.adopt(server.revision, (await server.reps()).reps);
  await press("Enter");
  await settled(ledger);
  assert.equal(ledger.saving.state, "saved", "a field that was only looked at changes nothing");
  assert.equal(server.reps_[0]!.reading?.value, 75);
});

test("the reading being typed is told as it would be saved, and only while it is another one", async () => {
  const { press, room, ledger } = roomWith([film("a", 300, 0)]);
  await press("m", "7", "4", "c");
  const typed = room.typed();
  assert.deepEqual([typed?.reading, typed?.pitch], [mph(74), "ch"]);
  await press("Enter");
  await settled(ledger);
  assert.equal(room.typed(), undefined);
  await press("Enter");
  assert.equal(room.typed(), undefined, "the same as before");
  room.type("47.5");
  assert.deepEqual(room.typed()?.reading, { ...mph(47.5), step: 0.1 });
  assert.equal(room.typed()?.rep?.pitch, "ch");
  room.type("47..");
  assert.equal(room.typed(), undefined);
});

test("a visit begins at the rep that was asked for, else with an answer, else where there is something to decide", async () => {
  const marked = () => {
    const made = roomWith([film("a", 300, 0)], [{ id: "p", filmId: "a", from: 200, to: 260, release: 230, rough: false, vague: false, sure: true, confidence: 0.9, state: "open", reason: "" }]);
    const [first, second] = [40, 90].map((release, i) => ({ ...blank(`r${i}`), order: i + 1, filmId: "a", release }));
    const judged = { verdict: "in the band", onEdge: false, gap: { mph: 9, kmh: 14.5, percent: 16 } } as Rep["judged"];
    made.ledger.adopt(1, [first!, { ...second!, judged }]);
    return made;
  };
  const waiting = marked();
  waiting.room.begin();
  assert.equal(waiting.room.state.chosen, undefined, "a proposal waits");
  const asked = marked();
  asked.room.begin("r0");
  assert.equal(asked.room.chosen()?.rep.id, "r0");
  const done = marked();
  await done.press("n", "x");
  done.room.begin();
  assert.equal(done.room.chosen()?.rep.id, "r1", "the first has no gap");
  assert.equal(done.room.state.wanted, 90);
  let edits = 0;
  done.ledger.make = () => void edits++;
  await done.press("w");
  assert.equal(edits, 0, "nobody chose it: W asks");
  assert.match(done.said.at(-1)!, /nobody chose it\. Once more makes it a warm-up/);
  await done.press("w");
  assert.equal(edits, 1);
  done.room.begin();
  done.room.choose("r1");
  await done.press("w");
  assert.equal(edits, 2, "it was chosen");
});
