import assert from "node:assert/strict";
import { test } from "node:test";
import { edit, type Fields } from "./change";
import { Ledger } from "./ledger";
import { mph, run, Server, settled } from "./testing";

function open(server = new Server()): { server: Server; ledger: Ledger } {
  const ledger = new Ledger(server, () => {});
  ledger.adopt(server.revision, server.reps_.map((r) => ({ ...r })));
  return { server, ledger };
}

function addAt(ledger: Ledger, release: number): string {
  const rep = ledger.newKey();
  ledger.make({ kind: "add", rep, fields: { filmId: "film", release } });
  return rep;
}

function change(ledger: Ledger, key: string, fields: Fields): void {
  ledger.make(edit(key, ledger.row(key)!.rep, fields)!);
}

test("a rep is on the ledger before the server has answered, and keeps its key", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  assert.equal(ledger.rows()[0]!.unsaved, true);
  change(ledger, key, { reading: mph(47), pitch: "ch" });
  await settled(ledger);
  const row = ledger.rows()[0]!;
  assert.deepEqual([row.key, row.rep.id, row.unsaved, row.rep.reading?.value], [key, "id1", false, 47]);
  assert.equal(server.reps_[0]!.pitch, "ch");
  assert.deepEqual(ledger.saving, { state: "saved" });
});

test("a new rep that is seen before its answer has come stands there once", async () => {
  const { server, ledger } = open();
  let seen: string[] = [];
  server.meanwhile = () => {
    ledger.adopt(server.revision + 1, server.reps_.map((r) => ({ ...r })));
    seen = ledger.rows().map((r) => r.key);
  };
  const key = addAt(ledger, 30);
  await settled(ledger);
  assert.deepEqual(seen, [key]);
  assert.deepEqual(ledger.rows().map((r) => [r.key, r.rep.id]), [[key, "id1"]]);

  // When the answer is lost it is sent again, and until that is answered stands there once.
  server.loseAnswer = true;
  server.meanwhile = () => {};
  const during: string[][] = [];
  server.wait = async () => {
    ledger.adopt(server.revision + 1, server.reps_.map((r) => ({ ...r })));
    during.push(ledger.rows().map((r) => r.key));
  };
  const second = addAt(ledger, 90);
  await settled(ledger);
  await settled(ledger);
  assert.deepEqual(during, [[key, second]]);
  assert.deepEqual(ledger.rows().map((r) => [r.key, r.rep.id]), [[key, "id1"], [second, "id2"]]);
});

test("a rep marked while marks are being accepted stands there once", async () => {
  const { server, ledger } = open();
  const first = addAt(ledger, 30);
  await settled(ledger);
  server.saw("id1", { drive: { frame: 10, match: 0.9, within: 1 }, plant: { frame: 20, match: 0.9, within: 1 }, top: { frame: 21, match: 0.9, within: 1 } } as never);
  ledger.adopt(server.revision, server.reps_.map((r) => ({ ...r })));
  let answer = () => {};
  const add = server.add.bind(server);
  server.add = async (key, fields) => {
    const logged = await add(key, fields);
    await new Promise<void>((resolve) => (answer = resolve));
    return logged;
  };
  const accept = server.accept.bind(server);
  let second = "";
  server.accept = async (ids) => {
    await accept(ids);
    second = addAt(ledger, 90);
    await new Promise((resolve) => setImmediate(resolve)); // until the server has it
  };
  assert.deepEqual(await ledger.accept([first]), { marks: 3, reps: 1 });
  assert.deepEqual(ledger.rows().map((r) => r.key), [first, second]);
  answer();
  await settled(ledger);
  assert.deepEqual(ledger.rows().map((r) => [r.key, r.rep.id, r.rep.drive]), [[first, "id1", 10], [second, "id2", undefined]]);
});

test("an unsaved rep stands where its release lies", async () => {
  const { ledger } = open();
  addAt(ledger, 300);
  addAt(ledger, 100);
  await settled(ledger);
  addAt(ledger, 200);
  assert.deepEqual(ledger.rows().map((r) => [r.rep.release, r.rep.order]), [[100, 1], [200, 2], [300, 3]]);
});

test("everything can be undone and redone, down to the empty ledger", async () => {
  const { server, ledger } = open();
  const a = addAt(ledger, 30);
  change(ledger, a, { reading: mph(55) });
  const b = addAt(ledger, 90);
  change(ledger, b, { reading: mph(47), pitch: "ch" });
  change(ledger, b, { call: "strike" });
  ledger.make({ kind: "remove", rep: a });
  await settled(ledger);
  const end = JSON.stringify(server.reps_.map((r) => [r.release, r.reading?.value, r.call]));

  let steps = 0;
  while (ledger.undo().changes.length > 0) steps++;
  await settled(ledger);
  assert.equal(steps, 6);
  assert.equal(server.reps_.length, 0);

  while (ledger.redo().changes.length > 0);
  await settled(ledger);
  assert.equal(JSON.stringify(server.reps_.map((r) => [r.release, r.reading?.value, r.call])), end);
  assert.equal(ledger.history.canRedo, false);
});

test("a new change ends redo", async () => {
  const { ledger } = open();
  addAt(ledger, 30);
  ledger.undo();
  addAt(ledger, 60);
  assert.deepEqual(ledger.redo().changes, []);
  await settled(ledger);
  assert.deepEqual(ledger.rows().map((r) => r.rep.release), [60]);
});

test("changes of different fields in two windows both stay", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  await settled(ledger);
  server.put("id1", { note: "from the other window" });
  change(ledger, key, { reading: mph(47) });
  await settled(ledger);
  assert.equal(server.reps_[0]!.note, "from the other window");
  assert.equal(server.reps_[0]!.reading?.value, 47);
});

test("changes of the same field are shown and chosen between", async () => {
  for (const [side, want] of [["mine", 47], ["theirs", 74]] as const) {
    const { server, ledger } = open();
    const key = addAt(ledger, 30);
    await settled(ledger);
    server.put("id1", { reading: mph(74) });
    change(ledger, key, { reading: mph(47) });
    await settled(ledger);
    assert.ok(ledger.saving.state === "clash");
    assert.deepEqual(ledger.saving.clash.fields, ["reading"]);
    assert.equal(ledger.saving.clash.theirs.reading?.value, 74);
    assert.equal(server.reps_[0]!.reading?.value, 74, "nothing is overwritten before the choice");
    ledger.choose(side);
    await settled(ledger);
    assert.equal(server.reps_[0]!.reading?.value, want);
    assert.equal(ledger.rows()[0]!.rep.reading?.value, want);
  }
});

test("a clash shows what the other window has now, and ends once it agrees", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  change(ledger, key, { reading: mph(45) });
  await settled(ledger);
  server.put("id1", { reading: mph(74) });
  change(ledger, key, { reading: mph(47) });
  await settled(ledger);
  const news = async (value: number) => {
    server.put("id1", { reading: mph(value) });
    const now = await server.reps();
    ledger.adopt(now.revision, now.reps);
  };
  await news(75);
  assert.ok(ledger.saving.state === "clash");
  assert.equal(ledger.saving.clash.theirs.reading?.value, 75);
  await news(45);
  await settled(ledger);
  assert.equal(ledger.saving.state, "saved");
  assert.equal(server.reps_[0]!.reading?.value, 47);
});

test("undo does not take back what another window made of it", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  change(ledger, key, { reading: mph(47) });
  await settled(ledger);
  server.put("id1", { reading: mph(50) });
  const now = await server.reps();
  ledger.adopt(now.revision, now.reps);
  ledger.undo();
  await settled(ledger);
  assert.equal(ledger.saving.state, "clash");
  assert.equal(server.reps_[0]!.reading?.value, 50);
});

test("a lost connection loses nothing and doubles nothing", async () => {
  const { server, ledger } = open();
  server.loseAnswer = true;
  server.moods = [];
  const key = addAt(ledger, 30);
  change(ledger, key, { reading: mph(47) });
  await settled(ledger);
  assert.equal(server.reps_.length, 1);
  assert.equal(server.reps_[0]!.reading?.value, 47);

  server.moods = [0, 503, 0];
  change(ledger, key, { note: "kept" });
  await settled(ledger);
  assert.equal(server.reps_[0]!.note, "kept");
  assert.equal(server.calls.filter((c) => c === "wait").length, 4);
});

test("an answer lost after the page has heard of the rep doubles nothing", async () => {
  const { server, ledger } = open();
  const hear = () => ledger.adopt(server.revision, server.reps_.map((r) => ({ ...r })));
  server.loseAnswer = true;
  server.meanwhile = hear; // the sheet is read again before the lost answer is noticed
  const key = addAt(ledger, 30);
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.release), [30]);
  assert.deepEqual(ledger.rows().map((r) => [r.key, r.rep.id]), [[key, "id1"]]);
});

test("a rep read off the gun only is never taken for another window's", async () => {
  const { server, ledger } = open();
  server.moods = [0];
  const mine = ledger.newKey();
  ledger.make({ kind: "add", rep: mine, fields: { reading: mph(51) } });
  await server.add("other window", { reading: mph(60) }).catch(() => {});
  await server.add("other window", { reading: mph(60) });
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value).sort(), [51, 60]);
  assert.equal(ledger.row(mine)!.rep.reading?.value, 51);
});

test("deleting a rep that another window has changed asks first", async () => {
  for (const [side, want] of [["mine", 0], ["theirs", 1]] as const) {
    const { server, ledger } = open();
    const key = addAt(ledger, 30);
    await settled(ledger);
    server.put("id1", { reading: mph(74) });
    ledger.make({ kind: "remove", rep: key });
    await settled(ledger);
    assert.ok(ledger.saving.state === "clash");
    assert.deepEqual([ledger.saving.clash.removing, ledger.saving.clash.fields], [true, ["reading"]]);
    assert.equal(server.reps_.length, 1, "nothing is deleted before the choice");
    ledger.choose(side);
    await settled(ledger);
    assert.equal(ledger.saving.state, "saved");
    assert.deepEqual([server.reps_.length, ledger.rows().length], [want, want]);
    if (side === "theirs") assert.equal(ledger.rows()[0]!.rep.reading?.value, 74);
  }
});

test("deleting a rep of which only the numbers have moved does not ask", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  await settled(ledger);
  server.put("id1", {});
  ledger.make({ kind: "remove", rep: key });
  await settled(ledger);
  assert.equal(ledger.saving.state, "saved");
  assert.equal(server.reps_.length, 0);
});

test("what the server will not have is dropped and said", async () => {
  const { server, ledger } = open();
  server.moods = [422];
  const key = addAt(ledger, 30);
  change(ledger, key, { reading: mph(47) });
  await settled(ledger);
  assert.equal(ledger.problem, "status 422");
  assert.deepEqual(ledger.rows(), []);
  assert.equal(ledger.history.canUndo, false);
});

test("a rep deleted in another window is not brought back", async () => {
  const { server, ledger } = open();
  const key = addAt(ledger, 30);
  await settled(ledger);
  const row = ledger.row(key)!;
  server.reps_ = [];
  server.revision++;
  ledger.make(edit(key, row.rep, { note: "late" })!);
  await settled(ledger);
  assert.match(ledger.problem, /no such rep/);
  assert.equal(ledger.unsaved, 0);
});

test("an older answer does not undo a newer one", async () => {
  const { server, ledger } = open();
  const before = await server.reps();
  addAt(ledger, 30);
  await settled(ledger);
  ledger.adopt(before.revision, before.reps);
  assert.equal(ledger.rows().length, 1);
});

test("readings entered together are undone together", async () => {
  const { server, ledger } = open();
  const keys = [30, 60, 90].map((release) => addAt(ledger, release));
  await settled(ledger);
  ledger.make(...keys.map((key, i) => edit(key, ledger.row(key)!.rep, { reading: mph(45 + i) })!));
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value), [45, 46, 47]);
  ledger.undo();
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value), [undefined, undefined, undefined]);
});

test("a run of readings goes in by one request and comes out by one undo", async () => {
  const { server, ledger } = open();
  for (const release of [30, 60, 90]) addAt(ledger, release);
  await settled(ledger);
  server.calls = [];
  assert.deepEqual(await ledger.enter(run("55 47 46"), server.revision), { changed: 3, logged: 0 });
  assert.deepEqual(server.calls, ["enter", "reps"]);
  assert.deepEqual(ledger.rows().map((r) => r.rep.reading?.value), [55, 47, 46]);
  ledger.undo();
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading), [undefined, undefined, undefined]);
});

test("a run that another window crosses is not split: nothing of it is saved", async () => {
  const { server, ledger } = open();
  for (const release of [30, 60, 90]) addAt(ledger, release);
  await settled(ledger);
  const seen = server.revision;
  server.meanwhile = () => {
    server.meanwhile = () => {};
    void server.remove("id2", server.reps_[1]!.version);
  };
  await assert.rejects(ledger.enter(run("55 47 46"), seen), { status: 409 });
  assert.deepEqual(server.reps_.map((r) => r.reading), [undefined, undefined]);
  assert.equal(ledger.history.canUndo, true); // only what was there before
  ledger.undo();
  await settled(ledger);
  assert.equal(server.reps_.length, 1);
});

test("a run is not sent later unasked: without a connection it is refused", async () => {
  const { server, ledger } = open();
  for (const release of [30, 60]) addAt(ledger, release);
  await settled(ledger);
  server.moods = [0];
  server.calls = [];
  change(ledger, ledger.rows()[0]!.key, { note: "low" });
  await assert.rejects(ledger.enter(run("55 47"), server.revision), { message: "What was entered before is not saved yet. Once it is, do this again." });
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading), [undefined, undefined]);
  assert.ok(!server.calls.includes("enter"));
});

test("a run that logs reps of its own is one step, and is logged once", async () => {
  const { server, ledger } = open();
  ledger.make({ kind: "add", rep: ledger.newKey(), fields: { reading: mph(50) } });
  await settled(ledger);
  const seen = server.revision;
  server.loseAnswer = true;
  await assert.rejects(ledger.enter(run("55 47 46", true), seen), { status: 0 });
  const heard = await server.reps();
  ledger.adopt(heard.revision, heard.reps); // the page hears of it all the same
  assert.deepEqual(await ledger.enter(run("55 47 46", true), seen), { changed: 1, logged: 2 });
  assert.deepEqual(ledger.rows().map(({ rep }) => rep.reading?.value), [55, 47, 46]);
  ledger.undo();
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value), [50]);
  ledger.redo();
  await settled(ledger);
  assert.deepEqual(server.reps_.map((r) => r.reading?.value), [55, 47, 46]);
});
