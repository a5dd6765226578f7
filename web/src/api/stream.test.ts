import assert from "node:assert/strict";
import { test } from "node:test";
import { SharedStream } from "./shared-stream";
import { pauses, Stream, type Told } from "./stream";

/** A connection that a test leads. */
class Line extends EventTarget {
  readyState = 0;
  close(): void {
    this.readyState = 2;
  }
  open(): void {
    this.readyState = 1;
    this.dispatchEvent(new Event("open"));
  }
  send(kind: string, data: object): void {
    this.dispatchEvent(Object.assign(new Event(kind), { data: JSON.stringify(data) }));
  }
  /** Its answer was no stream. */
  async refuse(): Promise<void> {
    this.readyState = 2;
    this.dispatchEvent(new Event("error"));
    await new Promise((done) => setImmediate(done));
  }
}

/** A browser without clock and network. */
class Fake {
  lines: Line[] = [];
  waits: { ms: number; call: () => void }[] = [];
  session: boolean | undefined = true;
  asked = 0;

  connect = () => {
    const line = new Line();
    this.lines.push(line);
    return line as unknown as EventSource;
  };
  signedIn = () => {
    this.asked++;
    return this.session === undefined ? Promise.reject(new Error("no answer")) : Promise.resolve(this.session);
  };
  after = (ms: number, call: () => void) => {
    const wait = { ms, call };
    this.waits.push(wait);
    return () => void (this.waits = this.waits.filter((w) => w !== wait));
  };

  get last(): Line {
    return this.lines.at(-1)!;
  }
  /** How many connections a server would hold. */
  get held(): number {
    return this.lines.filter((l) => l.readyState < 2).length;
  }
  pass(): void {
    for (const { call } of this.waits.splice(0)) call();
  }
}

Object.assign(globalThis, { EventSource: { CLOSED: 2 } });

function alone() {
  const fake = new Fake();
  const told: Told[] = [];
  const stream = new Stream((t) => told.push(t), fake);
  stream.open();
  return { fake, told, stream };
}

test("what comes is passed on, and that the connection is back", () => {
  const { fake, told } = alone();
  fake.last.open();
  fake.last.send("bullpen", { bullpenId: "b", revision: 2 });
  assert.deepEqual(told, [{ kind: "bullpen", text: '{"bullpenId":"b","revision":2}' }]);
  fake.last.open(); // the browser came back by itself
  assert.deepEqual(told[1], { kind: "again" });
});

test("a session that is over is said once, and the server left alone", async () => {
  const { fake, told, stream } = alone();
  fake.last.open();
  fake.session = false;
  await fake.last.refuse();
  assert.deepEqual(told, [{ kind: "out" }]);
  assert.equal(fake.asked, 1);
  assert.deepEqual(fake.waits, []);
  assert.equal(fake.lines.length, 1);
  stream.open(); // somebody signed in
  fake.last.open();
  assert.deepEqual(told[1], { kind: "again" });
});

test("a server that does not answer is asked less and less often", async () => {
  const { fake, told } = alone();
  fake.session = undefined;
  const waited: number[] = [];
  for (let i = 0; i < pauses.length + 2; i++) {
    await fake.last.refuse();
    waited.push(...fake.waits.map((w) => w.ms));
    fake.pass();
  }
  assert.deepEqual(waited, [...pauses, pauses.at(-1), pauses.at(-1)]);
  assert.equal(fake.held, 1);
  fake.last.open();
  assert.deepEqual(told, [{ kind: "again" }]); // whoever waited may have read something old
});

test("a closed stream does not come back", async () => {
  const { fake, stream } = alone();
  fake.session = undefined;
  await fake.last.refuse();
  stream.close();
  fake.pass();
  assert.equal(fake.held, 0);
});

test("twelve tabs share one connection, held until the last of them leaves", () => {
  const fake = new Fake();
  const shared = new SharedStream((tell) => new Stream(tell, fake));
  const tabs = Array.from({ length: 12 }, () => {
    const heard: Told[] = [];
    return { heard, postMessage: (told: Told) => void heard.push(told) };
  });
  for (const tab of tabs) shared.hear(tab, "join");
  assert.equal(fake.lines.length, 1);
  fake.last.open();
  fake.last.send("bullpen", { bullpenId: "b", revision: 2 });
  assert.ok(tabs.every((tab) => tab.heard.length === 1));
  for (const tab of tabs.slice(1)) shared.hear(tab, "leave");
  assert.equal(fake.held, 1);
  shared.hear(tabs[0]!, "leave");
  assert.equal(fake.held, 0);
  shared.hear(tabs[3]!, "join");
  assert.equal(fake.held, 1);
});

test("a tab that comes late is told the unfinished jobs", () => {
  const fake = new Fake();
  const shared = new SharedStream((tell) => new Stream(tell, fake));
  const tab = () => {
    const heard: string[] = [];
    return { heard, postMessage: (told: Told) => void heard.push("text" in told ? (JSON.parse(told.text) as { id: string }).id : told.kind) };
  };
  shared.hear(tab(), "join");
  fake.last.open();
  fake.last.send("job", { id: "one", state: "running" });
  fake.last.send("job", { id: "two", state: "queued" });
  fake.last.send("job", { id: "one", state: "done" });
  const late = tab();
  shared.hear(late, "join");
  assert.deepEqual(late.heard, ["two"]);
});

test("who signs in has a connection of her own session", () => {
  const fake = new Fake();
  const shared = new SharedStream((tell) => new Stream(tell, fake));
  shared.hear({ postMessage: () => {} }, "join");
  fake.last.open();
  const old = fake.last;
  shared.hear({ postMessage: () => {} }, "afresh");
  assert.equal(old.readyState, 2);
  assert.equal(fake.held, 1);
});
