import assert from "node:assert/strict";
import { test } from "node:test";
import { pageWithRows, type Page } from "./pages";

function server(...pages: Page<string>[]): { get: (cursor: string) => Promise<Page<string>>; asked: string[] } {
  const asked: string[] = [];
  return { asked, get: async (cursor) => (asked.push(cursor), pages[Number(cursor || 0)]!) };
}

test("empty pages with more behind them are gone past", async () => {
  const { get, asked } = server({ reps: [], next: "1" }, { reps: [], next: "2" }, { reps: ["a"], next: "3" }, { reps: ["b"] });
  assert.deepEqual(await pageWithRows(get, ""), { reps: ["a"], next: "3" });
  assert.deepEqual(asked, ["", "1", "2"]);
  assert.deepEqual(await pageWithRows(get, "3"), { reps: ["b"] });
});

test("nothing fits only once the last page is empty too", async () => {
  const { get, asked } = server({ reps: [], next: "1" }, { reps: [] });
  assert.deepEqual(await pageWithRows(get, ""), { reps: [] });
  assert.deepEqual(asked, ["", "1"]);
});

test("a failure on the way is a failure", async () => {
  await assert.rejects(pageWithRows(async () => { throw new Error("gone"); }, ""), /gone/);
});
