// Clips: made for all reps with one key or for one, their progress, a look at them.
import { useState } from "preact/hooks";
import { address } from "../api/client";
import type { Clip, Rep } from "../api/types";
import { Dialog } from "../parts/dialog";
import { jointsAreSeen } from "../words/body";
import { useOffice } from "./office";
import { hint } from "./hint";
import { useWatched } from "./watch";

export const clipFile = (id: string): string => address("/api/clips/{id}/file.mp4", { id });

/** Under the ledger: all clips of the bullpen. */
export function ClipsBar() {
  const office = useOffice();
  const clips = useWatched(office.changes, () => office.sheet.clips).filter((clip) => clip.kind === "single");
  const reps = useWatched(office.changes, () => office.ledger.rows().filter(({ rep }) => rep.release !== undefined).length);
  const drawings = useWatched(office.changes, () => office.drawings);
  const lines = useWatched(office.changes, () => office.lines);
  const seen = useWatched(office.changes, () => jointsAreSeen(office.sheet.reps));
  const id = office.sheet.bullpen.id;
  const ready = clips.filter((clip) => clip.state === "ready");
  const fresh = ready.filter((clip) => !clip.stale).length;
  const under = clips.filter((clip) => clip.state === "queued" || clip.state === "rendering");
  const failed = clips.filter((clip) => clip.state === "failed");
  if (reps === 0 && clips.length === 0) return null;
  const share = under.length > 0 ? (fresh + under.reduce((sum, c) => sum + (c.progress ?? 0), 0)) / (fresh + under.length) : 1;
  return (
    <section class="clips-bar" aria-label="Clips">
      <div class="row">
        <button type="button" class="button" title={hint("Make a captioned clip of every rep", { do: "clips" })} onClick={() => office.makeClips()}>Make all clips <kbd>C</kbd></button>
        <label class="check"><input type="checkbox" checked={drawings} onChange={(e) => (office.drawings = e.currentTarget.checked)} /> with what is drawn</label>
        {(seen || lines) && <label class="check"><input type="checkbox" checked={lines} onChange={(e) => (office.lines = e.currentTarget.checked)} /> with lines of her trunk and hips</label>}
        <p class="quiet" role="status">{state(fresh, reps, under.length, failed.length)}</p>
      </div>
      {under.length > 0 && <progress class="bar-of-progress" max={1} value={share} aria-label="Clips being made" />}
      {failed.map((clip) => (
        <div class="notice alarm" key={clip.id}>
          <p>{clip.problem ?? "A clip could not be made."}</p>
          {clip.jobId && <button type="button" class="button" onClick={() => office.retryJob(clip.jobId!)}>Try again</button>}
        </div>
      ))}
      <div class="row downloads">
        {ready.length > 0 && <a class="button" href={address("/api/bullpens/{id}/clips.zip", { id })} download>All clips (zip)</a>}
        <a class="button" href={address("/api/bullpens/{id}/reps.csv", { id })} download>Ledger (CSV)</a>
      </div>
    </section>
  );
}

function state(fresh: number, reps: number, under: number, failed: number): string {
  const parts = [`${fresh} of ${reps} ${reps === 1 ? "rep has its" : "reps have their"} clip`];
  if (under > 0) parts.push(`${under} being made`);
  if (failed > 0) parts.push(`${failed} failed`);
  return `${parts.join(", ")}.`;
}

/** In the rep's panel: its own clip. */
export function ClipButtons({ rep }: { rep: Rep }) {
  const office = useOffice();
  const clip = useWatched(office.changes, () => office.clipOf(rep.id));
  if (rep.release === undefined) return null;
  const making = clip?.state === "queued" || clip?.state === "rendering";
  return (
    <div class="row clip-buttons">
      {clip?.state === "ready" && (
        <button type="button" class="button" title={hint("Watch the clip, or save it", { do: "watch" })} onClick={() => office.errand("watch")}>Clip <kbd>V</kbd></button>
      )}
      {making && (
        <>
          <span role="status">Clip {clip.state === "queued" ? "waits" : `${Math.round(100 * (clip.progress ?? 0))} %`}</span>
          {clip.jobId && <button type="button" class="button" onClick={() => office.cancelJob(clip.jobId!)}>Cancel</button>}
        </>
      )}
      {!making && (clip?.state !== "ready" || clip.stale) && (
        <button type="button" class="button" onClick={() => office.makeClips([rep.id])}>{clip?.stale ? "Make the clip again" : "Make clip"}</button>
      )}
      {clip?.state === "ready" && clip.stale && <span class="quiet">Something it shows has changed since.</span>}
    </div>
  );
}

export function WatchDialog({ clip, onClose }: { clip: Clip; onClose: () => void }) {
  const [problem, setProblem] = useState("");
  return (
    <Dialog title={clip.fileName} wide onClose={onClose}>
      <video class="clip" src={clipFile(clip.id)} controls autoplay loop playsInline data-first onError={() => setProblem("This clip can't be played here. Save it and play it elsewhere.")}>
        <track kind="captions" src={address("/api/clips/{id}/captions.vtt", { id: clip.id })} srcLang="en" label="Captions" />
      </video>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <footer>
        <a class="button" href={clipFile(clip.id)} download={clip.fileName}>Save clip</a>
        <a class="button" href={address("/api/clips/{id}/captions.srt", { id: clip.id })} download>Captions (SRT)</a>
      </footer>
    </Dialog>
  );
}
