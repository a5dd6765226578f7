import assert from "node:assert/strict";
import { test } from "node:test";
import type { UploadResult } from "../api/types";
import { film } from "../film-room/core/testing";
import { Uploads, type Parcel } from "./uploads";

/** A line of the test's own: it ends each upload by hand. */
function line() {
  const open: { name: string; sent: (n: number) => void; end: (r?: UploadResult) => void; fail: (status: number) => void; cancelled: boolean }[] = [];
  const uploads = new Uploads<Parcel>(
    (_, file, sent) => {
      let resolve!: (r: UploadResult) => void;
      let reject!: (e: unknown) => void;
      const answer = new Promise<UploadResult>((a, b) => ((resolve = a), (reject = b)));
      const one = {
        name: file.name,
        sent,
        cancelled: false,
        end: (r: UploadResult = { film: film("f", 30, 0), alreadyThere: false }) => resolve(r),
        fail: (status: number) => reject({ status, message: `status ${status}.` }),
      };
      open.push(one);
      return { answer, cancel: () => ((one.cancelled = true), reject({ status: 0, message: "cancelled" })) };
    },
    () => {},
  );
  return { uploads, open, tick: () => new Promise((r) => setImmediate(r)) };
}

const files = (...names: string[]) => names.map((name) => ({ name, size: 100 }));

test("films go one after the other and report their progress", async () => {
  const { uploads, open, tick } = line();
  uploads.add("b", files("one.mp4", "two.mp4"));
  assert.deepEqual(uploads.all.map((u) => u.state), ["sending", "waiting"]);
  open[0]!.sent(40);
  assert.equal(uploads.all[0]!.sent, 40);
  open[0]!.end();
  await tick();
  assert.deepEqual(uploads.all.map((u) => u.state), ["received", "sending"]);
  assert.ok(uploads.busy);
  open[1]!.end({ film: film("f", 30, 0), alreadyThere: true });
  await tick();
  assert.match(uploads.all[1]!.note, /already/);
  assert.ok(!uploads.busy);
});

test("a refused film does not hold up the others", async () => {
  const { uploads, open, tick } = line();
  uploads.add("b", files("text.mp4", "two.mp4"));
  open[0]!.fail(415);
  await tick();
  assert.deepEqual(uploads.all.map((u) => [u.state, u.note]), [["refused", "status 415."], ["sending", ""]]);
});

test("a lost line can be tried again", async () => {
  const { uploads, open, tick } = line();
  uploads.add("b", files("one.mp4"));
  open[0]!.fail(0);
  await tick();
  assert.equal(uploads.all[0]!.state, "failed");
  uploads.retry(uploads.all[0]!.id);
  open[1]!.end();
  await tick();
  assert.equal(uploads.all[0]!.state, "received");
});

test("cancelling stops the sending and goes on with the next", async () => {
  const { uploads, open, tick } = line();
  uploads.add("b", files("one.mp4", "two.mp4"));
  uploads.remove(uploads.all[0]!.id);
  await tick();
  assert.ok(open[0]!.cancelled);
  assert.deepEqual(uploads.all.map((u) => [u.file.name, u.state]), [["two.mp4", "sending"]]);
});
