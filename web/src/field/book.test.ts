import assert from "node:assert/strict";
import { test } from "node:test";
import { Book, dayOf, newName, sending, type Kept, type Place } from "./book";

function storage(full = false): Place & { all: Map<string, string> } {
  const all = new Map<string, string>();
  return {
    all,
    get length() {
      return all.size;
    },
    key: (i) => [...all.keys()][i] ?? null,
    getItem: (key) => all.get(key) ?? null,
    setItem: (key, value) => {
      if (full) throw new Error("full");
      all.set(key, value);
    },
    removeItem: (key) => void all.delete(key),
  };
}

const now = 1_790_000_000_000;
const entry = (id: string, at = 0): Kept => ({ id, link: "l", sent: false, pitcherId: "wren", day: "2026-05-01", at: now * 1000 + at, revision: 1, pitch: "fb", value: 54, unit: "mph" });

test("what was typed survives the page, whichever tab typed it", () => {
  const place = storage();
  const one = new Book(place, now);
  const other = new Book(place, now);
  one.keep(entry("b", 2));
  other.keep(entry("a", 1));
  assert.deepEqual(new Book(place, now).all().map((e) => e.id), ["a", "b"]);
  one.look();
  assert.equal(one.waiting, 2);
});

test("an entry is told until the laptop has it, and told again when it was taken back meanwhile", () => {
  const book = new Book(storage(), now);
  book.keep(entry("a"));
  const first = book.unsent();
  book.undo("a");
  book.told(first, { taken: ["a"], refused: [] }); // the answer to what it was before
  assert.deepEqual(book.unsent().map((e) => [e.id, e.revision, e.undone]), [["a", 2, true]]);
  assert.equal(book.waiting, 1); // the laptop has it, and not yet that it was taken back
  assert.deepEqual(book.of("wren", "2026-05-01"), []);
  book.told(book.unsent(), { taken: ["a"], refused: [] });
  assert.deepEqual(book.unsent(), []);
});

test("what is refused stays, with its sentence, until it is taken", () => {
  const place = storage();
  const book = new Book(place, now);
  book.keep(entry("a"));
  book.told(book.unsent(), { taken: [], refused: [{ id: "a", why: "Not hers." }] });
  assert.equal(new Book(place, now).unsent()[0]?.refused, "Not hers.");
  book.told(book.unsent(), { taken: ["a"], refused: [] });
  assert.equal(book.all()[0]?.refused, undefined);
});

test("a refused take-back is shown, and can be left standing as the laptop has it", () => {
  const place = storage();
  const book = new Book(place, now);
  book.keep(entry("a"));
  book.told(book.unsent(), { taken: ["a"], refused: [] });
  book.undo("a");
  assert.equal(book.waiting, 1);
  book.told(book.unsent(), { taken: [], refused: [{ id: "a", why: "This reading is rep 3's already." }] });
  assert.deepEqual(book.refused.readings, []);
  assert.deepEqual(new Book(place, now).refused.takenBack.map((e) => [e.id, e.refused]), [["a", "This reading is rep 3's already."]]);
  book.stand("a");
  assert.deepEqual(book.refused, { readings: [], takenBack: [] });
  assert.deepEqual(book.of("wren", "2026-05-01").map((e) => [e.id, e.sent]), [["a", true]]);
  assert.deepEqual([book.waiting, book.unsent()], [0, []]);
});

test("a refused reading that is taken back was never on the laptop", () => {
  const place = storage();
  const book = new Book(place, now);
  book.keep(entry("a"));
  book.told(book.unsent(), { taken: [], refused: [{ id: "a", why: "48 mph is not a fastball's." }] });
  book.undo("a");
  assert.deepEqual(book.refused, { readings: [], takenBack: [] }, "nothing is said to stand on the laptop");
  assert.equal(book.waiting, 0);
  book.told(book.unsent(), { taken: [], refused: [{ id: "a", why: "48 mph is not a fastball's." }] });
  book.stand("a");
  assert.deepEqual(book.refused, { readings: [], takenBack: [] });
  assert.deepEqual(new Book(place, now).of("wren", "2026-05-01"), [], "it can't be left standing where it never stood");
});

test("what an older page kept as sent is known to the laptop when it is taken back", () => {
  const book = new Book(storage(), now);
  book.keep({ ...entry("a"), sent: true });
  book.undo("a");
  assert.equal(book.waiting, 1);
  book.told(book.unsent(), { taken: [], refused: [{ id: "a", why: "This reading is rep 3's already." }] });
  assert.deepEqual(book.refused.takenBack.map((e) => e.id), ["a"]);
});

test("what was taken back before the laptop heard of it waits for nothing", () => {
  const book = new Book(storage(), now);
  book.keep(entry("a"));
  book.undo("a");
  assert.equal(book.waiting, 0);
});

test("what is refused keeps nothing else out", () => {
  const book = new Book(storage(), now);
  book.keep(entry("a", 1));
  book.keep(entry("b", 2));
  book.told(book.unsent(1), { taken: [], refused: [{ id: "a", why: "Not hers." }] });
  assert.deepEqual(book.unsent(1).map((e) => e.id), ["b"]);
  assert.deepEqual(book.unsent().map((e) => e.id), ["b", "a"]);
});

test("what was sent goes after some days, what was not stays", () => {
  const place = storage();
  const book = new Book(place, now);
  book.keep({ ...entry("sent"), sent: true });
  book.keep(entry("unsent"));
  const later = new Book(place, now + 4 * 24 * 3600 * 1000);
  assert.deepEqual(later.all().map((e) => e.id), ["unsent"]);
  assert.equal(place.all.size, 1);
});

test("a phone that keeps nothing says so", () => {
  const book = new Book(storage(true), now);
  assert.equal(book.fleeting, false);
  book.keep(entry("a"));
  assert.ok(book.fleeting);
  assert.equal(book.all().length, 1);
  assert.ok(new Book(undefined, now).fleeting);
});

test("an entry belongs to the bullpen of the link that it was typed under, and to no other", () => {
  assert.equal(sending(entry("a"), "l").here, true);
  assert.equal(sending(entry("a"), "m").here, false);
  assert.equal(sending({ ...entry("a"), link: "" }, "").here, false);
  assert.deepEqual(Object.keys(sending(entry("a"), "l")).filter((k) => ["link", "sent", "refused"].includes(k)), []);
});

test("names are random, days the phone's", () => {
  assert.match(newName(), /^[0-9a-f]{32}$/);
  assert.notEqual(newName(), newName());
  assert.equal(dayOf(new Date(2026, 4, 1, 23, 59).getTime()), "2026-05-01");
});
