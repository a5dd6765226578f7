import assert from "node:assert/strict";
import { test } from "node:test";
import { held, stayAwake } from "./stay-awake";

// A browser that answers when it is told to (W3C Screen Wake Lock API).
class Sentinel extends EventTarget {
  released = false;
  release() {
    this.released = true;
    this.dispatchEvent(new Event("release"));
    return Promise.resolve();
  }
}
const given: Sentinel[] = [];
let answer = () => {};
const wakeLock = {
  request: () =>
    new Promise<Sentinel>((got) => {
      answer = () => {
        const one = new Sentinel();
        given.push(one);
        got(one);
      };
    }),
};
Object.defineProperty(globalThis, "navigator", { value: { wakeLock }, configurable: true });
Object.defineProperty(globalThis, "document", { value: { visibilityState: "visible" }, configurable: true });

const settled = () => new Promise((done) => setImmediate(done));

test("the screen stays on until nothing is sent any more", async () => {
  let told = 0;
  stayAwake(true, () => told++);
  answer();
  await settled();
  assert.deepEqual([held(), told], [true, 1]);
  stayAwake(false, () => told++);
  assert.deepEqual([held(), given[0]?.released], [false, true]);
});

test("a lock that comes after all was sent is let go", async () => {
  stayAwake(true, () => {});
  stayAwake(false, () => {});
  answer();
  await settled();
  assert.deepEqual([held(), given[1]?.released], [false, true]);
});

test("sending that goes on before the browser answers keeps it", async () => {
  stayAwake(true, () => {});
  stayAwake(false, () => {});
  stayAwake(true, () => {});
  answer();
  await settled();
  assert.equal(held(), true);
  stayAwake(false, () => {});
});
