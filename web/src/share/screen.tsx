// What one bullpen tells, for the pitcher and her parents: the headline, the target, the
// clips that were chosen, what comes next, why the gap works.
import { useEffect } from "preact/hooks";
import type { SharePage } from "../api/types";
import { useOpened } from "../links/opened";
import { Target } from "../pictures/target";
import { Why } from "../pictures/why";
import { failureText } from "../said/failure";
import { InLanguage, LanguageSwitch, speak, useLanguage, useSaid } from "../said/language";
import { saidIn } from "../said/say";
import { Clips, filmOf } from "./clips";
import { readShare } from "./desk";

export function ShareScreen() {
  const { page, failure, closed, refresh } = useOpened(readShare);
  const [language, choose] = useLanguage(page?.language);
  useEffect(() => {
    if (page) speak(language); // what the server says itself it says in the language of the page
  }, [language, page !== undefined]);
  const problem = failure === undefined ? "" : failureText(failure, saidIn(language));
  return (
    <InLanguage language={language}>
      {page && !closed
        ? <Result page={page} problem={problem} language={<LanguageSwitch language={language} choose={choose} />} />
        : <Shut problem={problem} closed={closed} refresh={refresh} />}
    </InLanguage>
  );
}

export function Shut({ problem, closed, refresh }: { problem: string; closed: boolean; refresh: () => void }) {
  const { say } = useSaid();
  if (!closed && !problem) return <main class="closed"><p>{say("share.opening")}</p></main>;
  return (
    <main class="closed">
      <h1>{say(closed ? "slip.closed.title" : "share.unread")}</h1>
      <p role="alert">{closed ? say("slip.closed") : problem}</p>
      {!closed && <button type="button" class="button primary" onClick={refresh}>{say("tryAgain")}</button>}
    </main>
  );
}

export function Result({ page, problem, language }: { page: SharePage; problem: string; language: preact.ComponentChildren }) {
  const said = useSaid();
  const { say } = said;
  const { pitch, unit } = page;
  const told = page.told.find((t) => t.language === said.language);
  const who = say("share.of", { pitcher: page.pitcher, day: said.day(page.day) });
  const headline = told?.headline || say("share.nothingYet");
  useEffect(() => void (document.title = who), [who]);
  const single = page.clips.filter((c) => c.kind === "single");
  const pairs = page.clips.filter((c) => c.kind === "pair");
  const filmed = new Set(single.flatMap((c) => c.reps.map((r) => r.order)));
  const baseline = say(`pitch.${page.baseline}`);
  return (
    <main class="share">
      <header>
        {language}
        <p class="over">{who}</p>
        <h1>{headline}</h1>
        {told?.others.map((line) => <p key={line}>{line}</p>)}
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {pitch && (
        <Target reps={pitch.reps} summary={pitch.summary} check={pitch.body} unit={unit} baseline={baseline}
          {...(filmed.size > 0 ? { onPick: (rep: { order: number }) => play(rep.order), picks: (rep: { order: number }) => filmed.has(rep.order) } : {})} />
      )}
      {single.length > 0 && (
        <section class="no-print" aria-labelledby="clips">
          <h2 id="clips">{say("share.clips")}</h2>
          <Clips clips={single} />
        </section>
      )}
      {pairs.length > 0 && (
        <section class="no-print" aria-labelledby="pairs">
          <h2 id="pairs">{say("share.pairs")}</h2>
          <Clips clips={pairs} />
        </section>
      )}
      {told?.next && (
        <section aria-labelledby="next">
          <h2 id="next">{say("share.next")}</h2>
          <p class="next">{told.next}</p>
        </section>
      )}
      {told?.moves && <p>{told.moves}</p>}
      {told?.tell && <p>{told.tell}</p>}
      {pitch?.summary.moment && (
        <section aria-labelledby="why">
          <h2 id="why">{say("why.title")}</h2>
          <Why moment={pitch.summary.moment} pitch={pitch.summary.pitch} unit={unit} folded />
        </section>
      )}
      <div class="notice caution">
        <p>{say("share.caution")}</p>
        <p>{say("caution.parent")}</p>
      </div>
      <p class="quiet">{say("share.until", { day: said.moment(page.expires) })}</p>
    </main>
  );
}

/** Plays the film of a rep, if it is one of those that were chosen. */
function play(order: number): void {
  const figure = document.getElementById(filmOf(order));
  figure?.scrollIntoView({ behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth", inline: "start" });
  void figure?.querySelector("video")?.play().catch(() => undefined); // a browser may want a touch on the film itself
}
