import assert from "node:assert/strict";
import { test } from "node:test";
import type { RoomState } from "./core/room";
import { Telling } from "./telling";

const still: RoomState = { film: "a", frame: 4, wanted: 4, painted: true, playing: false, speed: 1, looping: false, chosen: undefined, typing: undefined };

/** A telling whose time is passed by hand, with what was told since it was asked last. */
function telling(every = false) {
  let now = 0;
  let due: { at: number; call: () => void }[] = [];
  const told: string[] = [];
  const telling = new Telling(() => every, (ms, call) => {
    const wait = { at: now + ms, call };
    due.push(wait);
    return () => (due = due.filter((w) => w !== wait));
  });
  telling.onShow.watch(() => told.push("picture"));
  telling.all.watch(() => told.push("page"));
  telling.room(still);
  return {
    room: (change: Partial<RoomState>) => telling.room({ ...still, ...change }),
    told: () => told.splice(0).join(", "),
    pass(ms: number) {
      now += ms;
      const over = due.filter((w) => w.at <= now);
      due = due.filter((w) => w.at > now);
      for (const { call } of over) call();
    },
  };
}

test("a step is told to the picture alone, and to the page after its frame", () => {
  const { room, told, pass } = telling();
  assert.equal(told(), "picture, page");
  room({ wanted: 5 });
  assert.equal(told(), "picture");
  pass(20);
  assert.equal(told(), "");
  room({ frame: 5, wanted: 5 });
  assert.equal(told(), "picture");
  pass(0);
  assert.equal(told(), "picture, page");
  pass(1000);
  assert.equal(told(), "", "once is enough");
});

test("a frame that takes long, and anything else that changes, the page hears of before it is there", () => {
  const { room, told, pass } = telling();
  room({ wanted: 5 });
  told();
  pass(50);
  assert.equal(told(), "picture, page");
  room({ wanted: 5, chosen: "r" });
  assert.equal(told(), "picture, page");
});

test("frames that are played are told now and then, and each where something lies over them", () => {
  for (const [every, want] of [[false, "picture, page"], [true, "picture, picture, picture, picture, page"]] as const) {
    const { room, told, pass } = telling(every);
    room({ playing: true });
    told();
    for (let frame = 5; frame < 8; frame++) {
      room({ playing: true, frame, wanted: frame });
      pass(34);
    }
    assert.equal(told(), want);
  }
});
