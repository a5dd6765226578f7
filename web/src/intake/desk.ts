// The page's one place where films come in, whatever screen is open, and how far
// the server is with reading each.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import { listen } from "../api/events";
import type { Film } from "../api/types";
import { sendFilm } from "./send";
import { Uploads, type Upload } from "./uploads";

/** An upload and the film it became. */
export interface Arrival {
  upload: Upload<File>;
  film: Film | undefined;
  /** The job that reads it, once known. */
  jobId?: string;
}

const readers = new Map<string, { film: Film; jobId?: string }>();
const watchers = new Set<() => void>();

function changed(): void {
  for (const watcher of watchers) watcher();
}

export const uploads = new Uploads<File>(sendFilm, changed, (upload) => {
  if (!upload.film) return;
  readers.set(upload.film.id, { film: upload.film });
  // A film that can't be used may have been refused before its answer was here.
  if (upload.film.state !== "ready") void look(upload.film.id);
});

listen("job", (job) => {
  const reader = readers.get(job.subject);
  if (!reader) return;
  reader.jobId = job.id;
  if (job.state === "running") {
    reader.film = { ...reader.film, progress: job.progress };
    changed();
  } else {
    void look(job.subject);
  }
});
listen("again", () => {
  for (const [id, { film }] of readers) if (film.state === "reading") void look(id);
});

async function look(id: string): Promise<void> {
  const reader = readers.get(id);
  if (!reader) return;
  try {
    reader.film = await ask("get", "/api/films/{id}", { path: { id } });
  } catch {
    readers.delete(id);
  }
  changed();
}

export function useArrivals(): Arrival[] {
  const [, tick] = useState(0);
  useEffect(() => {
    const watcher = () => tick((n) => n + 1);
    watchers.add(watcher);
    return () => void watchers.delete(watcher);
  }, []);
  return uploads.all.map((upload) => {
    const reader = upload.film && readers.get(upload.film.id);
    return { upload, film: reader?.film ?? upload.film, ...(reader?.jobId ? { jobId: reader.jobId } : {}) };
  });
}

/** Asks before the page is left while films are on their way. */
export function guardLeaving(): void {
  addEventListener("beforeunload", (event) => {
    if (uploads.busy) event.preventDefault();
  });
}
