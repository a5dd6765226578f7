// The films on their way in, at the foot of every screen.
import { useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { say } from "../shell/say";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { uploads, useArrivals, type Arrival } from "./desk";

export function UploadTray() {
  const arrivals = useArrivals();
  const [chosen, setChosen] = useState<boolean>();
  if (arrivals.length === 0) return null;
  const ends = arrivals.filter(isOver).length;
  // Once all is sent the list makes room for what lies under it, unless it has something to say.
  const small = chosen ?? !arrivals.some((arrival) => arrival.upload.state !== "received" || arrival.film?.state === "refused");
  const clear = () => arrivals.filter(isOver).forEach(({ upload }) => uploads.remove(upload.id));
  return (
    <section class={`tray${small ? " small" : ""}`} aria-label="Films on their way in">
      <header>
        <h2>{ends < arrivals.length ? `Films coming in: ${ends} of ${arrivals.length} ready` : summary(arrivals)}</h2>
        <button type="button" class="button plain" aria-expanded={!small} onClick={() => setChosen(!small)}>{small ? "Show" : "Hide"}</button>
        {ends === arrivals.length && <button type="button" class="button plain" onClick={clear}>Done</button>}
      </header>
      {!small && <ul>{arrivals.map((arrival) => <ArrivalRow key={arrival.upload.id} arrival={arrival} />)}</ul>}
    </section>
  );
}

function ArrivalRow({ arrival }: { arrival: Arrival }) {
  const { upload, film } = arrival;
  const share = progress(arrival);
  return (
    <li>
      <div class="what">
        <b>{upload.file.name}</b>
        <span class={troubled(arrival) ? "problem" : "quiet"}>{sentence(arrival)}</span>
      </div>
      {share !== undefined && <progress class="bar-of-progress" max={1} value={share} aria-label={`${upload.file.name}: ${sentence(arrival)}`} />}
      <div class="row">
        {(upload.state === "failed" || upload.state === "refused") && (
          <button type="button" class="button" onClick={() => uploads.retry(upload.id)}>Send again</button>
        )}
        {film?.steppable && <Link class="button" to={to.filmRoom(upload.bullpenId)}>Open film room</Link>}
        {!isOver(arrival) && <button type="button" class="button" onClick={() => cancel(arrival)}>Cancel</button>}
        {isOver(arrival) && <button type="button" class="button plain" onClick={() => uploads.remove(upload.id)} aria-label={`Take ${upload.file.name} off this list`}>Close</button>}
      </div>
    </li>
  );
}

function cancel({ upload, film, jobId }: Arrival): void {
  uploads.remove(upload.id);
  const failed = (failure: unknown) => say(sentenceOf(failure), true);
  if (jobId) ask("post", "/api/jobs/{id}/cancel", { path: { id: jobId } }).catch(failed);
  if (film) ask("delete", "/api/films/{id}", { path: { id: film.id } }).catch(failed);
}

function isOver({ upload, film }: Arrival): boolean {
  if (upload.state === "waiting" || upload.state === "sending") return false;
  return upload.state !== "received" || (film?.state !== "arriving" && film?.state !== "reading");
}

const troubled = ({ upload, film }: Arrival) => upload.state === "refused" || upload.state === "failed" || film?.state === "refused";

function progress({ upload, film }: Arrival): number | undefined {
  if (upload.state === "sending") return upload.file.size > 0 ? upload.sent / upload.file.size : 0;
  return film?.state === "reading" ? (film.progress ?? 0) : undefined;
}

function sentence(arrival: Arrival): string {
  const { upload, film } = arrival;
  const share = progress(arrival);
  const percent = share === undefined ? "" : ` ${Math.round(100 * share)} %`;
  if (upload.state === "waiting") return "Waits for its turn";
  if (upload.state === "sending") return `Coming in${percent}`;
  if (upload.note) return upload.note;
  if (film?.state === "refused") return film.refusal ?? "This film can't be used.";
  if (film?.state === "ready") return "Ready";
  if (film?.steppable) return `Can be stepped; still being read${percent}`;
  return `Being read${percent}${film?.waits ? `. ${film.waits}` : ""}`;
}

function summary(arrivals: Arrival[]): string {
  const bad = arrivals.filter(troubled).length;
  if (bad === 0) return arrivals.length === 1 ? "The film is ready" : `All ${arrivals.length} films are ready`;
  return `${arrivals.length - bad} ready, ${bad} not`;
}
