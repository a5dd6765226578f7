// Carries a film over the tus protocol (https://tus.io/protocols/resumable-upload).
import { DetailedError, Upload } from "tus-js-client";
import { problemIn } from "../api/client";
import type { Carry } from "./sendings";

/** A connection on which nothing has moved for so long, in ms, is given up. */
const patience = 40_000;

export const carryBy = (headers: () => Record<string, string>): Carry<File> => (file, from, on) => {
  let moved = Date.now();
  let over = false;
  const end = (tell: () => void) => {
    if (over) return;
    over = true;
    clearInterval(watch);
    tell();
  };
  const upload = new Upload(file, {
    endpoint: "/api/slip/uploads",
    uploadUrl: from ?? null,
    headers: headers(),
    metadata: { filename: file.name },
    // What is on its way is asked of the server, and trying again is the queue's.
    storeFingerprintForResuming: false,
    retryDelays: null,
    onUploadUrlAvailable: () => upload.url && on.begun(new URL(upload.url, location.href).pathname),
    onProgress: (bytes) => {
      moved = Date.now();
      on.sent(bytes);
    },
    onSuccess: () => end(on.arrived),
    onError: (error) => end(() => on.failed(failureOf(error))),
  });
  const watch = setInterval(() => {
    if (Date.now() - moved < patience) return;
    void upload.abort();
    end(() => on.failed({ status: 0, sentence: "" }));
  }, 5000);
  upload.start();
  return {
    stop: () => {
      over = true;
      clearInterval(watch);
      void upload.abort();
    },
  };
};

function failureOf(error: Error | DetailedError) {
  const answer = error instanceof DetailedError ? error.originalResponse : null;
  return { status: answer?.getStatus() ?? 0, sentence: answer ? problemIn(answer.getBody()) : "" };
}
