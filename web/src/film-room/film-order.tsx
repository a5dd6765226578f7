// In which order the films were filmed.
import { useState } from "preact/hooks";
import type { Film } from "../api/types";
import { useOffice } from "./office";
import { useWatched } from "./watch";

/** The films' order, asked where not all of them say when they were filmed, or shown to be changed. */
export function FilmOrder({ always = false }: { always?: boolean }) {
  const office = useOffice();
  const asked = useWatched(office.changes, () => office.sheet.askOrder ?? false);
  const films = useWatched(office.changes, () => office.films).filter((f) => f.state !== "refused");
  const [open, setOpen] = useState(always);
  if (films.length < 2 || (!asked && !open)) return null;
  const say = (film: Film, position: number) => office.editFilm(film, { position });
  return (
    <section class="notice film-order" aria-label="Order of the films">
      <p>{asked ? "Not every film says when it was filmed, so they lie in the order of their names. Is that the order in which she threw?" : "The order in which she threw:"}</p>
      <ol>
        {films.map((film, i) => {
          const before = films[i - 1];
          return (
            <li key={film.id}>
              <span>{film.name}</span>
              {before && <button type="button" class="button" aria-label={`${film.name} was filmed before ${before.name}`} onClick={() => { setOpen(true); say(film, before.position); }}>Earlier</button>}
            </li>
          );
        })}
      </ol>
      {(asked || !always) && (
        <div class="row">
          <button type="button" class="button" onClick={() => { setOpen(always); if (asked && films[0]) say(films[0], films[0].position); }}>{asked ? "Yes, in this order" : "Done"}</button>
        </div>
      )}
    </section>
  );
}
