// The shelf: finished clips to look at together, send home, or take as one zip.
import { useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Clip, Sheet } from "../api/types";
import { Dialog } from "../parts/dialog";
import { Fold } from "../parts/fold";
import { act } from "../shell/act";
import { bodyIsKnown, jointsAreSeen } from "../words/body";
import { clipName } from "../words/clip";
import { percentText } from "../words/speed";

export function Shelf({ sheet, refresh }: { sheet: Sheet; refresh: () => void }) {
  const [slow, setSlow] = useState(false);
  const [body, setBody] = useState(true);
  const [drawings, setDrawings] = useState(sheet.clips.some((c) => c.kind === "single" && c.drawings));
  const [lines, setLines] = useState(sheet.clips.some((c) => c.kind === "single" && c.lines));
  const [watching, setWatching] = useState<Clip>();
  const marked = sheet.reps.filter((r) => r.filmId && r.release !== undefined);
  const known = bodyIsKnown(sheet.reps);
  const making = sheet.clips.filter((c) => c.state === "queued" || c.state === "rendering");
  const ready = sheet.clips.filter((c) => c.state === "ready" || c.bytes > 0);
  const owed = marked.some((r) => !sheet.clips.some((c) => c.kind === "single" && c.repIds[0] === r.id && !c.stale)) || sheet.clips.some((c) => c.stale);
  const render = async () => {
    if (await act(ask("post", "/api/bullpens/{id}/clips", { path: { id: sheet.bullpen.id }, body: { options: { slow, body: body && known, drawings, lines } } }), "The clips are being made.")) refresh();
  };
  return (
    <Fold title="Shelf" id="shelf">
      {marked.length === 0 ? <p class="quiet">Mark a release in the film room, and its clip can be made here.</p> : (
        <div class="row">
          <button type="button" class="button" onClick={() => void render()}>
            {sheet.clips.length === 0 ? `Make ${marked.length === 1 ? "the clip" : `all ${marked.length} clips`}` : owed ? "Make what is new or changed" : "Make them anew"}
          </button>
          <label class="check"><input type="checkbox" checked={slow} onChange={(e) => setSlow(e.currentTarget.checked)} /> repeat the last half second slowly</label>
          {known && <label class="check"><input type="checkbox" checked={body} onChange={(e) => setBody(e.currentTarget.checked)} /> say how fast the body was</label>}
          <label class="check"><input type="checkbox" checked={drawings} onChange={(e) => setDrawings(e.currentTarget.checked)} /> with what is drawn on the frames</label>
          {(lines || jointsAreSeen(sheet.reps)) && <label class="check"><input type="checkbox" checked={lines} onChange={(e) => setLines(e.currentTarget.checked)} /> with lines of her trunk and hips</label>}
          {ready.length > 0 && <a class="button" href={`/api/bullpens/${sheet.bullpen.id}/clips.zip`} download>All as one zip</a>}
        </div>
      )}
      {making.length > 0 && <p role="status" class="quiet">{making.length === 1 ? "One clip is" : `${making.length} clips are`} being made.</p>}
      <ul class="clips">
        {sheet.clips.map((c) => <ClipCard key={c.id} clip={c} sheet={sheet} refresh={refresh} onWatch={() => setWatching(c)} />)}
      </ul>
      {watching && <Watch clip={watching} name={clipName(watching, sheet)} onClose={() => setWatching(undefined)} />}
    </Fold>
  );
}

function ClipCard({ clip, sheet, refresh, onWatch }: { clip: Clip; sheet: Sheet; refresh: () => void; onWatch: () => void }) {
  const name = clipName(clip, sheet);
  const again = async () => {
    if (clip.jobId && await act(ask("post", "/api/jobs/{id}/retry", { path: { id: clip.jobId } }), `${name} is being made again.`)) refresh();
  };
  const stop = async () => {
    if (clip.jobId && await act(ask("post", "/api/jobs/{id}/cancel", { path: { id: clip.jobId } }), `${name} was stopped.`)) refresh();
  };
  return (
    <li class="clip">
      {clip.state === "ready" && (
        <button type="button" class="watch-it" onClick={onWatch} aria-label={`Watch ${name}`}>
          {clip.repIds.map((id) => <img key={id} src={`/api/reps/${id}/still.jpg`} width={480} height={320} loading="lazy" alt="" />)}
          <svg viewBox="0 0 40 40" aria-hidden="true"><circle cx="20" cy="20" r="18" /><path d="M15 11l15 9-15 9z" /></svg>
        </button>
      )}
      <b>{name}</b>
      {clip.state === "ready" && (
        <>
          {clip.stale && <span class="quiet">Something it shows has changed since.</span>}
          <a href={`/api/clips/${clip.id}/file.mp4`} download={clip.fileName} aria-label={`Download ${name}`}>Download</a>
        </>
      )}
      {(clip.state === "queued" || clip.state === "rendering") && (
        <span class="row">
          <progress class="bar-of-progress" aria-label={`Making ${name}`} value={clip.progress ?? 0} />
          <span class="quiet">{clip.state === "queued" ? "waiting" : percentText(clip.progress ?? 0)}</span>
          <button type="button" class="button" onClick={() => void stop()} aria-label={`Stop making ${name}`}>Stop</button>
        </span>
      )}
      {(clip.state === "failed" || clip.state === "cancelled") && (
        <>
          <span class="quiet">{clip.state === "failed" ? clip.problem || "It could not be made." : "Stopped."}</span>
          <button type="button" class="button" onClick={() => void again()} aria-label={`Try ${name} again`}>Try again</button>
        </>
      )}
    </li>
  );
}

function Watch({ clip, name, onClose }: { clip: Clip; name: string; onClose: () => void }) {
  return (
    <Dialog title={name} wide onClose={onClose}>
      <video class="watch" src={`/api/clips/${clip.id}/file.mp4`} controls autoplay loop playsInline data-first>
        <track kind="captions" src={`/api/clips/${clip.id}/captions.vtt`} srclang="en" label="Captions" />
      </video>
    </Dialog>
  );
}
