// Films and gun: what is the same for the whole bullpen is said once, and each film may be
// an exception.
import { useState } from "preact/hooks";
import type { Film, GunPlace, Unit } from "../api/types";
import { gunPlaces, units } from "../intake/new-bullpen";
import { Dialog } from "../parts/dialog";
import { TypedField } from "../parts/typed-field";
import { readLate, readNumber } from "./core/entry";
import { FilmOrder } from "./film-order";
import { views } from "./next-step";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function FilmsDialog({ onClose }: { onClose: () => void }) {
  const office = useOffice();
  const { gun, unit } = useWatched(office.changes, () => office.sheet.bullpen);
  const films = useWatched(office.changes, () => office.films).filter((f) => f.steppable);
  const [first] = films;
  const one = <T,>(of: (f: Film) => T): T | undefined => (first && films.every((f) => of(f) === of(first)) ? of(first) : undefined);
  const view = one((f) => f.view);
  const slow = one((f) => (f.slowKnown ? f.slow : 0));
  const late = one((f) => f.soundLate);
  // Phones keep sound and picture in step: nobody is asked who was not told otherwise.
  const heardLate = useWatched(office.changes, () => office.sheet.soundNotes.length > 0) || late !== 0;
  return (
    <Dialog title="Films and gun" wide onClose={onClose}>
      <div class="films-dialog">
        <div class="fields">
          <label class="field">
            <span>The gun stood</span>
            <select class="input" value={gun} onChange={(event) => office.editBullpen({ gun: event.currentTarget.value as GunPlace })}>
              {gunPlaces.map((place) => <option key={place}>{place}</option>)}
            </select>
          </label>
          <label class="field">
            <span>New readings are in</span>
            <select class="input" value={unit} onChange={(event) => office.editBullpen({ unit: event.currentTarget.value as Unit })}>
              {units.map((u) => <option key={u}>{u}</option>)}
            </select>
          </label>
        </div>
        {first && (
          <div class="fields">
            <ViewField label={films.length > 1 ? "All seen from" : "Seen from"} value={view} onPick={(v) => office.editFilm(first, { view: v, ...(films.length > 1 && { all: true }) })} />
            <SlowField label={films.length > 1 ? "All in slow motion" : "Slow motion"} value={slow} onPick={(v) => office.editFilm(first, { slow: v, ...(films.length > 1 && { all: true }) })} />
            {heardLate && <LateField label={films.length > 1 ? "Sound late on all films, s" : "Sound late, s"} value={late} onPick={(v) => office.editFilm(first, { soundLate: v, ...(films.length > 1 && { all: true }) })} />}
          </div>
        )}
        {films.length > 1 && (
          <details open={view === undefined || slow === undefined || late === undefined}>
            <summary>Exceptions, film by film</summary>
            <ul class="film-exceptions">
              {films.map((film) => (
                <li key={film.id}>
                  <b>{film.name}</b>
                  <ViewField label="Seen from" value={film.view} onPick={(v) => office.editFilm(film, { view: v })} />
                  <SlowField label="Slow motion" value={film.slowKnown ? film.slow : 0} onPick={(v) => office.editFilm(film, { slow: v })} />
                  {heardLate && <LateField label="Sound late, s" value={film.soundLate} onPick={(v) => office.editFilm(film, { soundLate: v })} />}
                </li>
              ))}
            </ul>
          </details>
        )}
        <FilmOrder always />
        <p class="quiet fine">Readings that are on the ledger keep the place they were taken from.</p>
      </div>
    </Dialog>
  );
}

/** From where a film is seen; undefined: the films differ. */
function ViewField({ label, value, onPick }: { label: string; value: Film["view"] | undefined; onPick: (view: Film["view"]) => void }) {
  return (
    <label class="field">
      <span>{label}</span>
      <select class="input" value={value ?? "differ"} onChange={(event) => event.currentTarget.value !== "differ" && onPick(event.currentTarget.value as Film["view"])}>
        {value === undefined && <option value="differ">they differ</option>}
        <option value="">not said</option>
        {views.map((v) => <option key={v.view} value={v.view}>{v.name}</option>)}
      </select>
    </label>
  );
}

/** By how many seconds a film's sound lags its picture, less than 0 where it leads; undefined: the films differ. */
function LateField({ label, value, onPick }: { label: string; value: number | undefined; onPick: (seconds: number) => void }) {
  return (
    <TypedField
      label={label}
      keys="text"
      class="factor"
      value={value === undefined ? "" : String(value)}
      {...(value === undefined && { placeholder: "they differ" })}
      read={readLate}
      onCommit={onPick}
    />
  );
}

const factors = [2, 4, 8];

/** How many times slower than it happened a film plays; 0 where nobody said; undefined: the films differ. */
function SlowField({ label, value, onPick }: { label: string; value: number | undefined; onPick: (slow: number) => void }) {
  const [other, setOther] = useState(value !== undefined && value !== 0 && value !== 1 && !factors.includes(value));
  return (
    <>
      <label class="field">
        <span>{label}</span>
        <select
          class="input"
          value={other ? "other" : value === undefined ? "differ" : String(value)}
          title={value === 0 ? "The file does not say whether the phone slowed this film. If a throw takes longer than in life, set how many times." : undefined}
          onChange={(event) => {
            const picked = event.currentTarget.value;
            setOther(picked === "other");
            if (Number(picked) > 0) onPick(Number(picked));
          }}
        >
          {value === undefined && <option value="differ">they differ</option>}
          {value === 0 && <option value="0">no (not said)</option>}
          <option value="1">no</option>
          {factors.map((n) => <option key={n} value={n}>{n} times slower</option>)}
          <option value="other">other …</option>
        </select>
      </label>
      {other && (
        <TypedField
          label="Times slower"
          keys="decimal"
          class="factor"
          value={String(value ?? 1)}
          read={(text) => {
            const number = readNumber(text);
            if (typeof number === "string") return { problem: number };
            if (!number || number.value > 64) return { problem: "Between 0.05 and 64." };
            return number.value;
          }}
          onCommit={onPick}
        />
      )}
    </>
  );
}
