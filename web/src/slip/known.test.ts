import assert from "node:assert/strict";
import { test } from "node:test";
import { addressOf, goesOn, hash, idIn, markOf, otherSize } from "./known";

const arriving = [{ id: "h-1", name: "trim.mov", bytes: 100, received: 40 }];

test("a file goes on with the upload of its name and size", () => {
  assert.equal(goesOn(arriving, { name: "trim.mov", size: 100 }, "m", {})?.id, "h-1");
  assert.equal(goesOn(arriving, { name: "trim.mov", size: 101 }, "m", {}), undefined);
  assert.equal(goesOn(arriving, { name: "other.mov", size: 100 }, "m", {}), undefined);
});

test("another film of the same name and size does not", () => {
  assert.equal(goesOn(arriving, { name: "trim.mov", size: 100 }, "m", { "h-1": "n" }), undefined);
  assert.equal(goesOn(arriving, { name: "trim.mov", size: 100 }, "m", { "h-1": "m" })?.id, "h-1");
});

test("a film that was picked again with another size is told apart", () => {
  assert.equal(otherSize(arriving, { name: "trim.mov", size: 99 })?.bytes, 100);
  assert.equal(otherSize(arriving, { name: "trim.mov", size: 100 }), undefined);
  assert.equal(otherSize(arriving, { name: "other.mov", size: 99 }), undefined);
  const both = [...arriving, { id: "h-2", name: "trim.mov", bytes: 99, received: 0 }];
  assert.equal(otherSize(both, { name: "trim.mov", size: 100 }), undefined);
});

// Values of the authors' published table for "" and "a", 32 bits (from memory).
test("the hash is FNV-1a", () => {
  assert.equal(hash(new Uint8Array()), "811c9dc5");
  assert.equal(hash(new TextEncoder().encode("a")), "e40c292c");
});

test("a mark tells films apart by their ends", async () => {
  const film = (last: number) => new Blob([new Uint8Array(200_000), new Uint8Array([last])]);
  assert.notEqual(await markOf(film(1)), await markOf(film(2)));
  assert.equal(await markOf(film(1)), await markOf(film(1)));
});

test("an address names its upload", () => assert.equal(idIn(addressOf("h-1")), "h-1"));
