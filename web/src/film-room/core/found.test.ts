import assert from "node:assert/strict";
import { test } from "node:test";
import { acceptable, byHand, nextInstant, placeOf, sentenceOfInstant } from "./found";
import { blank, film, roomWith, settled } from "./testing";

/** What a search found: the drive at a frame, and the others after it. */
const found = (drive: number, sure = true) => {
  const at = (frame: number, match: number, sure = true) => ({ frame, seconds: frame / 30, match, ...(sure && { within: 1 }) });
  return { drive: at(drive, 0.93), plant: at(drive + 26, 0.4, sure), top: at(drive + 27, 0.9), release: at(drive + 35, 0.97), match: 0.9 };
};

test("only what is sure and not marked waits to be accepted", () => {
  const rep = { ...blank("r"), release: 66, top: 56, found: found(30, false) };
  assert.deepEqual(acceptable(rep), { drive: 30 });
  assert.deepEqual(byHand(rep), ["plant"]);
  assert.deepEqual(acceptable(blank("r")), {});
  assert.deepEqual(byHand(blank("r")), []);
});

test("from instant to instant, marked or found, and round again", () => {
  const rep = { ...blank("r"), release: 66, found: found(30) };
  assert.deepEqual(nextInstant(rep, 30, 1), { instant: "plant", frame: 56 });
  assert.deepEqual(nextInstant(rep, 66, 1), { instant: "drive", frame: 30 });
  assert.deepEqual(nextInstant(rep, 56, -1), { instant: "drive", frame: 30 });
  assert.equal(nextInstant(blank("r"), 0, 1), undefined);
});

test("what her joints alone show is where to look, and is never accepted", () => {
  const rep = { ...blank("r"), order: 3, release: 66, seen: { plant: { frame: 58, millis: 12, beside: "" as const }, top: { frame: 57, millis: 18, beside: "" as const } } };
  assert.deepEqual(acceptable(rep), {});
  assert.equal(placeOf(rep, "plant"), 58);
  assert.equal(placeOf(rep, "drive"), undefined);
  assert.deepEqual(nextInstant(rep, 57, 1), { instant: "plant", frame: 58 });
  assert.equal(sentenceOfInstant(rep, "plant"), "Rep 3, plant: about here, by her joints alone. Step to it and press 2.");
});

test("a second witness is heard where it agrees and where it differs", () => {
  const seen = (beside: "agrees" | "differs") => ({ plant: { frame: 62, millis: 12, beside } });
  const agreed = { ...blank("r"), order: 3, release: 66, found: { ...found(30), plant: { frame: 56, seconds: 1.87, match: 0.92, within: 1 } }, seen: seen("agrees") };
  assert.equal(sentenceOfInstant(agreed, "plant"), "Rep 3, plant: found here, 92 % alike, and her joints agree. A accepts it; or step and press 2.");
  const doubted = { ...agreed, found: { ...agreed.found, plant: { frame: 56, seconds: 1.87, match: 0.92 } }, seen: seen("differs") };
  assert.equal(placeOf(doubted, "plant"), 56);
  assert.equal(sentenceOfInstant(doubted, "plant"), "Rep 3, plant: found here; her joints put it at frame 62. Step and press 2 on the right one.");
  assert.equal(sentenceOfInstant({ ...doubted, plant: 55 }, "plant"), "Rep 3, plant: marked here; her joints put it at frame 62. 2 moves it to the frame on show.");
});

test("what is found less closely than a frame says within how many, and of what", () => {
  const rep = { ...blank("r"), order: 3, release: 66, found: { ...found(30), drive: { frame: 30, seconds: 0.125, match: 0.93, within: 4 } } };
  assert.equal(sentenceOfInstant(rep, "drive"), "Rep 3, drive: found here, within 4 frames of what the marks say, 93 % alike. A accepts it; or step and press 1.");
  assert.equal(sentenceOfInstant(rep, "top"), "Rep 3, top: found here, 90 % alike. A accepts it; or step and press 3.");
  assert.equal(acceptable(rep).drive, 30);
  assert.deepEqual(byHand(rep), []);
});

test("what was accepted says so, and how closely it was found, until its mark is moved", () => {
  const drive = { frame: 30, seconds: 0.125, match: 0.93, within: 4, accepted: 30 };
  const rep = { ...blank("r"), order: 3, drive: 30, release: 66, found: { ...found(30), drive } };
  assert.equal(sentenceOfInstant(rep, "drive"), "Rep 3, drive: accepted where it was found, within 4 frames of what the marks say. 1 moves it to the frame on show.");
  const close = { ...rep, found: { ...rep.found, drive: { ...drive, within: 1 } } };
  assert.equal(sentenceOfInstant(close, "drive"), "Rep 3, drive: accepted where it was found. 1 moves it to the frame on show.");
  const byHand = { ...rep, found: { ...rep.found, drive: { frame: 30, seconds: 0.125, match: 0.93, within: 4 } } };
  for (const marked of [byHand, { ...rep, drive: 33 }])
    assert.equal(sentenceOfInstant(marked, "drive"), "Rep 3, drive: marked here. 1 moves it to the frame on show.");
});

/** Two reps on film a, one on film b, and what was found on them. */
async function searched() {
  const all = roomWith([film("a", 900, 0), film("b", 900, 1)]);
  const { room, press, ledger, server } = all;
  room.go(96);
  await press("m", "5", "5", "f", "Enter");
  room.go(196);
  await press("m", "4", "5", "c", "Enter");
  room.open("b", 96);
  await press("m", "4", "6", "c", "Enter");
  await settled(ledger);
  [found(60), found(160, false), found(60)].forEach((f, i) => server.saw(server.reps_[i]!.id, f));
  const { revision, reps } = await server.reps();
  ledger.adopt(revision, reps);
  room.open("a", 0);
  room.choose(ledger.rows()[0]!.key);
  const marks = () => server.reps_.map((r) => [r.drive, r.plant, r.top, r.release]);
  return { ...all, marks };
}

const bare = [undefined, undefined, undefined];

test("one key accepts a rep's, another one all of the film, and one undo takes it back", async () => {
  const { press, ledger, said, marks } = await searched();
  await press("a");
  await settled(ledger);
  assert.deepEqual(marks(), [[60, 86, 87, 96], [...bare, 196], [...bare, 96]]);
  await press("u", "Shift+A");
  await settled(ledger);
  await settled(ledger);
  assert.deepEqual(marks(), [[60, 86, 87, 96], [160, undefined, 187, 196], [...bare, 96]], "the plant that was not found stays out, the other film too");
  assert.match(said.join(" "), /5 instants on 2 reps accepted/);
  await press("u");
  await settled(ledger);
  assert.equal(said.pop(), "Undone: 5 instants on 2 reps are no longer accepted.");
  assert.deepEqual(marks(), [[...bare, 96], [...bare, 196], [...bare, 96]]);
  await press("Shift+U");
  await settled(ledger);
  assert.deepEqual(marks()[1], [160, undefined, 187, 196]);
  assert.equal(said.pop(), "Done again: 5 instants on 2 reps are accepted.");
  await press("Shift+A");
  assert.match(said.pop()!, /Nothing that was found/);
});

test("marks that undo and redo bring back count as they did then, whatever is found meanwhile", async () => {
  const { room, press, ledger, server } = await searched();
  const key = ledger.rows()[1]!.key;
  const version = () => server.reps_[1]!.version;
  const done = async () => {
    await settled(ledger);
    for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
  };
  room.choose(key);
  const bareAt = version();
  await press("a");
  await done();
  const acceptedAt = version();
  room.edit(key, { drive: null, top: null });
  await done();
  const offAt = version();
  server.saw(server.reps_[1]!.id, found(161, false));
  const now = await server.reps();
  ledger.adopt(now.revision, now.reps);
  await press("a");
  await done();
  const againAt = version();
  assert.deepEqual(server.asOf.splice(0).slice(-1), [undefined], "marks taken off by hand are no step back");

  await press("u", "u", "u");
  await done();
  assert.deepEqual(server.asOf.splice(0), [offAt, acceptedAt, bareAt]);
  await press("Shift+U", "Shift+U", "Shift+U");
  await done();
  assert.deepEqual(server.asOf.splice(0), [acceptedAt, offAt, againAt]);
  assert.equal(server.reps_[1]!.drive, 161);
  room.edit(key, { note: "no mark" });
  await press("u");
  await done();
  assert.deepEqual(server.asOf, [undefined, undefined]);
});

test("a rep's accepted and then, at once, all of the film's are two steps", async () => {
  const { room, press, ledger, marks } = await searched();
  room.act({ do: "accept", of: "rep" });
  room.act({ do: "accept", of: "film" });
  room.act({ do: "undo" });
  await settled(ledger);
  for (let i = 0; i < 40; i++) await new Promise((resolve) => setImmediate(resolve));
  assert.deepEqual(marks(), [[60, 86, 87, 96], [...bare, 196], [...bare, 96]]);
  await press("u");
  for (let i = 0; i < 40; i++) await new Promise((resolve) => setImmediate(resolve));
  assert.deepEqual(marks(), [[...bare, 96], [...bare, 196], [...bare, 96]]);
});

test("undo pressed at once takes back what is just being accepted", async () => {
  const { room, press, ledger, marks } = await searched();
  room.edit(ledger.rows()[0]!.key, { note: "before" });
  await settled(ledger);
  room.act({ do: "accept", of: "film" });
  room.act({ do: "undo" });
  await press("x");
  await settled(ledger);
  await press("x");
  await settled(ledger);
  assert.deepEqual(marks(), [[...bare, 96], [...bare, 196], [...bare, 96]]);
  assert.equal(ledger.rows()[0]!.rep.note, "before");
});

test("a mark made just before is saved first and stays as it was put", async () => {
  const { room, press, ledger, marks } = await searched();
  room.go(90);
  await press("2", "a");
  await settled(ledger);
  for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
  assert.deepEqual(marks()[0], [60, 90, 87, 96]);
});

test("what can't be accepted is said", async () => {
  const { press, server, said, ledger, marks } = await searched();
  server.moods = [422];
  await press("a");
  await settled(ledger);
  assert.match(said.pop()!, /status 422/);
  assert.deepEqual(marks()[0], [...bare, 96]);
});

test("J goes to the instants of the chosen rep and says what each is", async () => {
  const { room, press, said, ledger } = await searched();
  room.choose(ledger.rows()[1]!.key);
  await press("j");
  assert.equal(room.state.frame, 160);
  assert.match(said.pop()!, /drive: found here, 93 % alike/);
  await press("j");
  assert.equal(room.state.frame, 186);
  assert.match(said.pop()!, /plant: not found/);
  await press("Shift+J");
  assert.equal(room.state.frame, 160);
});
