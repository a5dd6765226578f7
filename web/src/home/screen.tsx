// The first page: what needs her today, the bullpens, the pitchers. Or, with nothing there
// yet, one invitation and how to film.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { listen } from "../api/events";
import type { Home } from "../api/types";
import { Lessons } from "../fence/lessons";
import { FieldLinkButton } from "../fence/link";
import { QuietHomework } from "../homework/inbox";
import { PickFilms, useIntake } from "../intake/drop";
import { BullpenItem } from "../pictures/bullpen-card";
import { EmptyHome } from "./empty";
import { Moved } from "./moved";
import { Needs, needsAny } from "./needs";
import { Roster } from "./roster";
import { thrown, todayText, waits } from "./said";
import { useNarrow } from "../parts/use-narrow";

export function HomeScreen() {
  const intake = useIntake();
  const { home, problem, refresh } = useHome();
  const shownBullpens = useNarrow() ? 4 : 8;
  if (!home) return problem ? <p class="notice alarm" role="alert">{problem}</p> : null;
  if (home.bullpens.length === 0 && home.pitchers.length === 0) return <><Moved moves={home.moves} refresh={refresh} /><EmptyHome problem={problem} /></>;
  const bullpens = thrown(home);
  return (
    <>
      <header class="welcome">
        <h1>{todayText(home)}</h1>
        <div class="row">
          <PickFilms primary={!needsAny(home)}>Begin with film</PickFilms>
          <button type="button" class="button" aria-label="New bullpen without film" onClick={() => intake.newBullpen()}><span>New bullpen<span class="not-on-a-phone"> without film</span></span></button>
          {home.pitchers.length > 0 && <FieldLinkButton />}
        </div>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <Needs home={home} refresh={refresh} />
      <Moved moves={home.moves} refresh={refresh} />
      <Lessons lessons={home.lessons} />
      {bullpens.length > 0 && (
        <section aria-labelledby="bullpens">
          <h2 id="bullpens">Bullpens</h2>
          <ul class="cards bullpens">{bullpens.slice(0, shownBullpens).map((b) => <BullpenItem key={b.id} card={b} near={home.today} />)}</ul>
          {bullpens.length > shownBullpens && (
            <details class="depth"><summary>{bullpens.length - shownBullpens} earlier</summary>
              <ul class="cards bullpens">{bullpens.slice(shownBullpens).map((b) => <BullpenItem key={b.id} card={b} near={home.today} />)}</ul>
            </details>
          )}
        </section>
      )}
      <Roster pitchers={home.pitchers} more={home.morePitchers} today={home.today} />
      <QuietHomework cards={home.inbox.filter((h) => !waits(h))} />
      <p class="quiet caution">
        Stop for pain, numbness or loss of control. League rules and licensed professionals come first. All films stay on this machine, or in your academy’s own storage.
      </p>
    </>
  );
}

/** How long the page waits before it asks again for what was still being worked out, in ms. */
const again = 2500;

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
  const counting = home?.bullpens.some((b) => b.counting);
  useEffect(() => {
    if (!counting) return;
    const timer = setTimeout(refresh, again);
    return () => clearTimeout(timer);
  }, [home, counting]);
  return { home, problem, refresh };
}
