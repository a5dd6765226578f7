import assert from "node:assert/strict";
import { test } from "node:test";
import type { Fields } from "./change";
import { film, mph, roomWith, run, settled } from "./testing";

/** Three reps on a film, and what is said of undo and redo after something is done. */
async function three() {
  const all = roomWith([film("a", 900, 0)]);
  const { room, press, ledger, said } = all;
  for (const [frame, pitch] of [[100, "f"], [200, "c"], [312, "c"]] as const) {
    room.go(frame);
    await press("m", "4", "7", pitch, "Enter");
  }
  await settled(ledger);
  const key = ledger.rows()[2]!.key;
  /** Changes the third rep, takes it back and does it again. */
  const both = async (fields: Fields) => {
    room.edit(key, fields);
    await press("u");
    const undone = said.pop()!;
    await press("Shift+U");
    const again = said.pop()!;
    await press("u");
    await settled(ledger);
    said.pop();
    return [undone, again];
  };
  return { ...all, key, both };
}

test("undo and redo say what is so again", async () => {
  const { both } = await three();
  const cases: [Fields, string, string][] = [
    [{ release: 320 }, "Undone: rep 3's release is back at frame 312.", "Done again: rep 3's release is at frame 320."],
    [{ drive: 290 }, "Undone: rep 3's drive is no longer marked.", "Done again: rep 3's drive is at frame 290."],
    [{ reading: mph(74) }, "Undone: rep 3's reading is 47 mph again.", "Done again: rep 3's reading is 74 mph."],
    [{ reading: null }, "Undone: rep 3's reading is 47 mph again.", "Done again: rep 3 has no reading."],
    [{ pitch: "fb" }, "Undone: rep 3's pitch is change-up again.", "Done again: rep 3's pitch is fastball."],
    [{ reading: mph(55), pitch: "fb" }, "Undone: rep 3's reading is 47 mph again and its pitch is change-up again.", "Done again: rep 3's reading is 55 mph and its pitch is fastball."],
    [{ drill: "K drill" }, "Undone: rep 3 is a full pitch again.", "Done again: rep 3's drill is K drill."],
    [{ set: 2, number: 5 }, "Undone: rep 3 is in no set again and it has no number in the set again.", "Done again: rep 3 is in set 2 and its number in the set is 5."],
    [{ call: "strike" }, "Undone: rep 3 is called neither strike nor ball again.", "Done again: rep 3 is called a strike."],
    [{ warmUp: true }, "Undone: rep 3 is no warm-up again.", "Done again: rep 3 is a warm-up."],
    [{ note: "late hip" }, "Undone: rep 3 has no note again.", "Done again: rep 3's note is “late hip”."],
  ];
  for (const [fields, undone, again] of cases) assert.deepEqual(await both(fields), [undone, again]);
});

test("a new rep that is undone was never out before", async () => {
  const { room, press, ledger, said } = await three();
  room.go(500);
  await press("m", "Escape");
  await settled(ledger);
  await press("u");
  assert.equal(said.pop(), "Undone: rep 4 is taken out.");
  await press("Shift+U");
  assert.equal(said.pop(), "Done again: rep 4 is back.");
});

test("a rep that goes or comes back keeps its number in words", async () => {
  const { room, ledger, said, press } = await three();
  room.choose(ledger.rows()[1]!.key);
  await press("Delete", "u");
  assert.equal(said.pop(), "Undone: rep 2 is back.");
  await press("Shift+U");
  assert.equal(said.pop(), "Done again: rep 2 is taken out.");
});

test("many at once are counted", async () => {
  const { ledger, server, said, press } = await three();
  await ledger.enter(run("55 47 46"), server.revision);
  await press("u");
  assert.equal(said.pop(), "Undone: 2 reps have the readings they had before.");
  await press("Shift+U");
  assert.equal(said.pop(), "Done again: 2 reps have their new readings.");
  await press("u");
  await settled(ledger);
  await ledger.enter(run("55 47 46 48 49", true), server.revision);
  await press("u");
  assert.equal(said.pop(), "Undone: 2 reps have the readings they had before and 2 reps are taken out.");
});
