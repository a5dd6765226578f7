// What needs her today, soreness first: homework with the child's own words, films that
// came in, readings that are asked about.
import { ask, sentenceOf } from "../api/client";
import type { BullpenCard, Film, Home } from "../api/types";
import { InboxItem } from "../homework/inbox";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText, percentText } from "../words/speed";
import { unseen, waits } from "./said";

export function Needs({ home, refresh }: { home: Home; refresh: () => void }) {
  const homework = home.inbox.filter(waits);
  const of = new Set(home.inbox.map((h) => h.bullpenId));
  const films = home.bullpens.filter((b) => unseen(b) && !of.has(b.id));
  if (homework.length + home.films.length + films.length + home.asked.length === 0) return null;
  return (
    <section aria-labelledby="waits">
      <h2 id="waits" class="sr-only">Waits for you</h2>
      <ul class="cards needs">
        {homework.map((h) => <InboxItem key={h.id} card={h} caution={home.caution} />)}
        {home.films.map((f) => <ComingFilm key={f.id} film={f} refresh={refresh} />)}
        {films.map((b) => <NewFilm key={b.id} card={b} />)}
        {home.asked.map((a) => (
          <li key={a.bullpenId} class="card item">
            <h3><Link to={to.filmRoom(a.bullpenId)}>{a.pitcherLabel}, {dayText(a.day)}</Link></h3>
            <p>{a.readings === 1 ? "1 reading looks odd" : `${a.readings} readings look odd`}. Settle {a.readings === 1 ? "it" : "them"} and {a.readings === 1 ? "it counts" : "they count"}.</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function NewFilm({ card: b }: { card: BullpenCard }) {
  return (
    <li class="card item">
      <h3><Link to={to.filmRoom(b.id)}>{b.pitcherLabel}, {dayText(b.day)}</Link></h3>
      <p>{b.films === 1 ? "Her film is in" : `${b.films} films are in`}. Say yes or no to each rep.</p>
    </li>
  );
}

function ComingFilm({ film: f, refresh }: { film: Film; refresh: () => void }) {
  const dismiss = () => ask("delete", "/api/films/{id}", { path: { id: f.id } }).then(refresh, (failure) => say(sentenceOf(failure), true));
  return (
    <li class="card item">
      <h3><Link to={to.bullpen(f.bullpenId)}>{f.name}</Link></h3>
      {f.state === "refused" ? (
        <>
          <p class="notice alarm">{f.refusal}</p>
          <button type="button" class="button" onClick={() => void dismiss()}>Dismiss</button>
        </>
      ) : (
        <>
          <p class="quiet">{f.state === "arriving" ? "arriving" : f.progress === undefined ? "waiting to be read" : `${f.steppable ? "can be stepped and marked already; still " : ""}being read, ${percentText(f.progress)}`}</p>
          {f.steppable && <p><Link to={to.filmRoom(f.bullpenId)} aria-label={`Film room, to step ${f.name}`}>Film room</Link></p>}
          <progress class="bar-of-progress" aria-label={`Reading ${f.name}`} value={f.progress ?? 0} />
        </>
      )}
    </li>
  );
}
