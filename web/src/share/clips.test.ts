import assert from "node:assert/strict";
import { test } from "node:test";
import type { SharedClip } from "../api/types";
import { clipNames } from "./clips";

const clip = (ticket: string, kind: "single" | "pair", ...orders: number[]) =>
  ({ kind, file: `/api/share/files/${ticket}`, reps: orders.map((order) => ({ order, pitch: "ch" })) }) as SharedClip;

test("a clip is known by what it shows, whatever ticket it came with", () => {
  const read = (tickets: string) => clipNames([clip(tickets[0]!, "single", 2), clip(tickets[1]!, "pair", 2, 1), clip(tickets[2]!, "pair", 2, 1)]);
  assert.deepEqual(read("abc"), read("xyz"));
  assert.equal(new Set(read("abc")).size, 3, "two beside reps of the same number are two");
});
