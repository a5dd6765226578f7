// Which film is open, and the films that are not ready yet.
import { PickFilms } from "../intake/drop";
import { useOffice } from "./office";
import { hint } from "./hint";
import { useWatched } from "./watch";

/** Which of several films is open. */
export function FilmPicker() {
  const office = useOffice();
  const { room, changes } = office;
  const films = useWatched(changes, () => office.films);
  const film = useWatched(changes, () => office.film);
  const ready = films.filter((f) => f.steppable);
  if (!film || ready.length < 2) return null;
  const at = ready.findIndex((f) => f.id === film.id);
  return (
    <div class="row film-picker">
      <button type="button" class="button square" aria-label="Film before" title={hint("Film before", { do: "film", by: -1 })} disabled={at <= 0} onClick={() => room.act({ do: "film", by: -1 })}>‹</button>
      <label class="field">
        <span class="sr-only">Film</span>
        <select class="input" value={film.id} onChange={(event) => { room.choose(undefined); room.open(event.currentTarget.value); }}>
          {ready.map((f, i) => <option key={f.id} value={f.id}>{i + 1} of {ready.length}: {f.name}</option>)}
        </select>
      </label>
      <button type="button" class="button square" aria-label="Next film" title={hint("Next film", { do: "film", by: 1 })} disabled={at >= ready.length - 1} onClick={() => room.act({ do: "film", by: 1 })}>›</button>
    </div>
  );
}

/** Films that are still coming, and those that could not be used. */
export function FilmsNotReady() {
  const office = useOffice();
  const films = useWatched(office.changes, () => office.films);
  const jobs = useWatched(office.changes, () => office.sheet.jobs);
  const waiting = films.filter((f) => f.state !== "ready");
  if (waiting.length === 0) return null;
  return (
    <ul class="films-not-ready">
      {waiting.map((film) => {
        const job = jobs.find((j) => j.id === film.jobId);
        const failed = job?.state === "failed";
        const share = film.progress ?? 0;
        return (
          <li key={film.id} class={film.state === "refused" || failed ? "notice alarm" : "notice"}>
            <p><b>{film.name}</b> {film.state === "refused" ? film.refusal : failed ? (job.problem ?? "It could not be read.") : `${film.steppable ? "can be stepped and marked already; it is still being read" : "is being read"}, ${Math.round(100 * share)} %`}</p>
            {film.waits && !failed && <p>{film.waits}</p>}
            {film.state !== "refused" && !failed && <progress class="bar-of-progress" max={1} value={share} aria-label={`${film.name} is being read`} />}
            <div class="row">
              {failed && <button type="button" class="button" onClick={() => office.retryJob(job.id)}>Try again</button>}
              <button type="button" class="button" onClick={() => office.removeFilm(film)}>{film.state === "refused" ? "Dismiss" : "Take it out"}</button>
            </div>
          </li>
        );
      })}
    </ul>
  );
}

/** What stands in the picture's place while there is no film. */
export function NoFilm() {
  const office = useOffice();
  const waiting = useWatched(office.changes, () => office.films.some((f) => f.state === "arriving" || f.state === "reading"));
  return (
    <div class="no-film">
      <h2>{waiting ? "The film is being read" : "No film in this bullpen yet"}</h2>
      <p>{waiting ? "It opens here by itself as soon as it can be stepped." : "Drop one long film or one film per pitch anywhere on this page. Readings can be logged without film too: one by one (M), or all at once (R)."}</p>
      {!waiting && <PickFilms bullpenId={office.sheet.bullpen.id} primary>Choose films</PickFilms>}
    </div>
  );
}
