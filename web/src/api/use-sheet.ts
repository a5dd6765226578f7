// A bullpen's sheet, kept fresh: read again whenever the server says that
// something inside changed.
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { APIError, ask, sentenceOf } from "./client";
import { listen } from "./events";
import type { Job, Sheet } from "./types";

export interface SheetState {
  sheet: Sheet | undefined;
  /** Why there is no sheet, in one sentence. */
  problem: string;
  /** Reads it again now. */
  refresh: () => void;
}

export function useSheet(bullpenId: string): SheetState {
  const [sheet, setSheet] = useState<Sheet>();
  const [problem, setProblem] = useState("");
  const asking = useRef({ busy: false, again: false, revision: -1, live: true });

  const refresh = useCallback(async () => {
    const state = asking.current;
    if (state.busy) {
      state.again = true;
      return;
    }
    state.busy = true;
    do {
      state.again = false;
      try {
        const fresh = await ask("get", "/api/bullpens/{id}", { path: { id: bullpenId } });
        if (!state.live) return;
        state.revision = fresh.revision;
        setSheet(fresh);
        setProblem("");
      } catch (failure) {
        if (!state.live) return;
        if (failure instanceof APIError && failure.status === 404) setSheet(undefined);
        setProblem(sentenceOf(failure));
      }
    } while (state.again);
    state.busy = false;
  }, [bullpenId]);

  useEffect(() => {
    const state = { busy: false, again: false, revision: -1, live: true };
    asking.current = state;
    setSheet(undefined);
    void refresh();
    const mine = (id: string | undefined) => id === bullpenId;
    const off = [
      listen("bullpen", (event) => mine(event.bullpenId) && event.revision > state.revision && void refresh()),
      listen("job", (job) => {
        if (!mine(job.bullpenId)) return;
        if (job.state === "running") setSheet((now) => now && withProgress(now, job));
        else void refresh();
      }),
      listen("again", () => void refresh()),
    ];
    return () => {
      state.live = false;
      for (const stop of off) stop();
    };
  }, [bullpenId, refresh]);

  return { sheet, problem, refresh: () => void refresh() };
}

/** The sheet with a job and its film or clip further on, without asking for it all again. */
function withProgress(sheet: Sheet, job: Job): Sheet {
  const { subject, progress } = job;
  return {
    ...sheet,
    jobs: sheet.jobs.some((j) => j.id === job.id) ? sheet.jobs.map((j) => (j.id === job.id ? job : j)) : [...sheet.jobs, job],
    films: sheet.films.map((film) => (film.id === subject ? { ...film, progress } : film)),
    clips: sheet.clips.map((clip) => (clip.id === subject ? { ...clip, progress, state: clip.state === "queued" ? "rendering" : clip.state } : clip)),
  };
}
