// What needs her today, soreness first: homework with the child's own words, films that
// came in, readings that are asked about.
import { ask, sentenceOf } from "../api/client";
import type { BullpenCard, Film, Home } from "../api/types";
import { InboxItem } from "../homework/inbox";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText, percentText, shortDayText } from "../words/speed";
import { unseen, waits } from "./said";

const needsOf = (home: Home) => {
  const of = new Set(home.inbox.map((h) => h.bullpenId));
  return { homework: home.inbox.filter(waits), films: home.bullpens.filter((b) => unseen(b) && !of.has(b.id)), asked: home.asked };
};

/** Whether something waits that she can see to; the first of it is the one next. */
export function needsAny(home: Home): boolean {
  return Object.values(needsOf(home)).some((list) => list.length > 0);
}

export function Needs({ home, refresh }: { home: Home; refresh: () => void }) {
  const { homework, films, asked } = needsOf(home);
  if (homework.length + home.films.length + films.length + asked.length === 0) return null;
  const first = homework[0]?.id ?? films[0]?.id ?? asked[0]?.bullpenId;
  const button = (id: string) => `button${id === first ? " primary" : ""}`;
  return (
    <section aria-labelledby="waits">
      <h2 id="waits" class="sr-only">Waits for you</h2>
      <ul class="cards needs">
        {homework.map((h) => <InboxItem key={h.id} card={h} caution={home.caution} first={h.id === first} />)}
        {home.films.map((f) => <ComingFilm key={f.id} film={f} refresh={refresh} />)}
        {films.map((b) => <NewFilm key={b.id} card={b} button={button(b.id)} />)}
        {asked.map((a) => (
          <li key={a.bullpenId} class="card item">
            <h3><Link to={to.bullpen(a.bullpenId)}>{a.pitcherLabel}, {shortDayText(a.day, home.today)}</Link></h3>
            <p>{a.readings === 1 ? "1 reading looks odd" : `${a.readings} readings look odd`}. Settle {a.readings === 1 ? "it" : "them"} and {a.readings === 1 ? "it counts" : "they count"}.</p>
            <Link class={button(a.bullpenId)} to={to.filmRoom(a.bullpenId)}>Settle {a.readings === 1 ? "it" : "them"}</Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

function NewFilm({ card: b, button }: { card: BullpenCard; button: string }) {
  return (
    <li class="card item">
      <h3><Link to={to.bullpen(b.id)}>{b.pitcherLabel}, {dayText(b.day)}</Link></h3>
      <p>{b.films === 1 ? "Her film is in" : `${b.films} films are in`}. Say yes or no to each rep.</p>
      <Link class={button} to={to.filmRoom(b.id)} aria-label={`Log the reps of ${b.pitcherLabel}, ${dayText(b.day)}`}>Log the reps</Link>
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
