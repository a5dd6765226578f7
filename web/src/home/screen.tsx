// The first page: begin a bullpen, or go on with one.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { listen } from "../api/events";
import type { BullpenCard, Film, Home, PitcherCard } from "../api/types";
import { Inbox } from "../homework/inbox";
import { PickFilms, useIntake } from "../intake/drop";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText, percentText } from "../words/speed";

export function HomeScreen() {
  const intake = useIntake();
  const { home, problem, refresh } = useHome();
  const nothing = home && home.bullpens.length === 0 && home.pitchers.length === 0;
  return (
    <>
      <header class="welcome">
        <h1>Ten off the fastball, same body</h1>
        <p>{nothing ? "Drop the films of a bullpen anywhere on this page to begin." : "Drop films anywhere on this page to begin a new bullpen, or go on with one."}</p>
        <div class="row">
          <PickFilms primary>Begin with film</PickFilms>
          <button type="button" class="button" onClick={() => intake.newBullpen()}>New bullpen without film</button>
        </div>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {home && <Inbox cards={home.inbox} />}
      {home && home.films.length > 0 && (
        <section aria-labelledby="coming">
          <h2 id="coming">Films coming in</h2>
          <ul class="cards">{home.films.map((f) => <ComingFilm key={f.id} film={f} refresh={refresh} />)}</ul>
        </section>
      )}
      {home && home.bullpens.length > 0 && (
        <section aria-labelledby="bullpens">
          <h2 id="bullpens">Bullpens</h2>
          <ul class="cards">{home.bullpens.map((b) => <BullpenItem key={b.id} card={b} />)}</ul>
        </section>
      )}
      {home && home.pitchers.length > 0 && (
        <section aria-labelledby="pitchers">
          <h2 id="pitchers">Pitchers</h2>
          <ul class="cards">{home.pitchers.map((p) => <PitcherItem key={p.id} card={p} />)}</ul>
        </section>
      )}
      <p class="quiet caution">
        Stop for pain, numbness or loss of control. The numbers are guidance; league rules and licensed professionals come first.
        All films stay on this machine.
      </p>
    </>
  );
}

function useHome() {
  const [home, setHome] = useState<Home>();
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    ask("get", "/api/home").then((fresh) => {
      setHome(fresh);
      setProblem("");
    }, (failure) => setProblem(sentenceOf(failure)));
  }, []);
  useEffect(() => {
    refresh();
    let waiting: ReturnType<typeof setTimeout> | undefined;
    // Many things change at once while films are read; one look a second is enough.
    const soon = () => {
      waiting ??= setTimeout(() => {
        waiting = undefined;
        refresh();
      }, 1000);
    };
    const off = [listen("bullpen", soon), listen("job", soon), listen("again", soon)];
    return () => {
      clearTimeout(waiting);
      for (const stop of off) stop();
    };
  }, [refresh]);
  return { home, problem, refresh };
}

function BullpenItem({ card: b }: { card: BullpenCard }) {
  const facts = [
    `${b.reps} ${b.reps === 1 ? "rep" : "reps"}`,
    b.readings < b.reps ? `${b.readings} with a reading` : "",
    b.reading > 0 ? `${b.reading} ${b.reading === 1 ? "film" : "films"} being read` : b.films === 0 ? "no film" : "",
    b.clips > 0 ? `${b.clips} ${b.clips === 1 ? "clip" : "clips"}` : "",
  ].filter(Boolean);
  return (
    <li class="card item">
      <h3><Link to={to.bullpen(b.id)}>{b.pitcherLabel}, {dayText(b.day)}</Link></h3>
      {b.title && <p>{b.title}</p>}
      <p class="quiet">{facts.join(", ")}</p>
      <Link to={to.filmRoom(b.id)} aria-label={`Film room of ${b.pitcherLabel}, ${dayText(b.day)}`}>Film room</Link>
    </li>
  );
}

function PitcherItem({ card: p }: { card: PitcherCard }) {
  return (
    <li class="card item">
      <h3><Link to={to.pitcher(p.id)}>{p.label}</Link></h3>
      <p class="quiet">{p.level}, {p.bullpens} {p.bullpens === 1 ? "bullpen" : "bullpens"}, {p.reps} {p.reps === 1 ? "rep" : "reps"}{p.lastDay ? `, last on ${dayText(p.lastDay)}` : ""}</p>
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
