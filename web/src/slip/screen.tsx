// The student's page: what to do, how to film it, sending it, and what came back.
import { useEffect, useRef, useState } from "preact/hooks";
import type { SlipFilm, SlipPage } from "../api/types";
import { useOpened } from "../links/opened";
import { InLanguage, LanguageSwitch, speak, useLanguage, useSaid } from "../said/language";
import { failureText } from "../said/failure";
import { saidIn, type Language } from "../said/say";
import { bytesText } from "../words/size";
import { Answer } from "./answer";
import { carryBy } from "./carry";
import { dropUpload, pass, readSlip } from "./desk";
import { Films, share } from "./films";
import { addressOf, goesOn, idIn, markOf, marks, otherSize, remember } from "./known";
import { useUnfoldedOnPaper } from "./on-paper";
import { Sendings } from "./sendings";
import { Sets } from "./sets";
import { held, stayAwake } from "./stay-awake";
import { WhereToStand } from "./where-to-stand";
import { Words } from "./words";

/** How to film, beside what the two pictures say (common practice, no source). */
const howToFilm = ["film.still", "film.slow", "film.hears", "film.oneOrMany"] as const;

export function SlipScreen() {
  const { page, failure, closed, refresh } = useOpened(readSlip);
  useUnfoldedOnPaper();
  const [language, choose] = useLanguage(page?.language);
  const said = saidIn(language);
  const sendings = useSendings(refresh);
  // What the server says itself it says in the language of the page.
  useEffect(() => {
    if (!page) return;
    speak(language);
    if (page.language !== language) refresh();
  }, [language, page?.language]);
  return (
    <InLanguage language={language}>
      {page && !closed
        ? <Homework page={page} sendings={sendings} refresh={refresh} problem={failure === undefined ? "" : failureText(failure, said)} choose={choose} />
        : <Nothing closed={closed} problem={failure === undefined ? "" : failureText(failure, said)} refresh={refresh} />}
    </InLanguage>
  );
}

/** There is nothing to show: yet, just now, or for good. */
export function Nothing({ closed, problem, refresh }: { closed: boolean; problem: string; refresh: () => void }) {
  const { say } = useSaid();
  if (!closed && !problem) return <main class="closed"><p>{say("slip.opens")}</p></main>;
  return (
    <main class="closed">
      <h1>{say(closed ? "slip.closed.title" : "slip.unread.title")}</h1>
      <p role="alert">{closed ? say("slip.closed") : problem}</p>
      {!closed && <button type="button" class="button primary" onClick={refresh}>{say("tryAgain")}</button>}
    </main>
  );
}

interface Opened {
  page: SlipPage;
  sendings: Sendings<File>;
  refresh: () => void;
  problem: string;
  choose: (language: Language) => void;
}

export function Homework({ page, sendings, refresh, problem, choose: speakIn }: Opened) {
  const { workout, answer, limits } = page;
  const { language, say, day, moment } = useSaid();
  const [picked, setPicked] = useState("");
  useEffect(() => void (document.title = say("slip.title", { title: workout.title })), [workout.title, language]);

  const choose = async (list: FileList | null) => {
    const known = marks();
    for (const file of Array.from(list ?? [])) {
      try {
        const on = goesOn(page.arriving, file, await markOf(file), known);
        sendings.add(file, on && addressOf(on.id));
        const other = otherSize(page.arriving, file);
        if (other) setPicked(say("slip.otherSize", { name: file.name, size: bytesText(file.size), other: bytesText(other.bytes) }));
      } catch {
        setPicked(say("slip.unreadable", { name: file.name }));
      }
    }
  };
  const remove = (id: number) => {
    const address = sendings.all.find((s) => s.id === id)?.address;
    sendings.remove(id);
    if (address) void dropUpload(idIn(address)).then(refresh, refresh);
  };
  const picker = (says: string, kind = "") => (
    <label class={`button pick ${kind}`}>
      {says}
      <input type="file" accept="video/*,.mov,.mp4,.m4v,.mkv,.webm,.mts" multiple aria-label={says} onChange={(e) => { setPicked(""); void choose(e.currentTarget.files); e.currentTarget.value = ""; }} />
    </label>
  );
  const whatToDo = (
    <>
      <section aria-labelledby="do">
        <h2 id="do">{say("slip.whatToDo")}</h2>
        {workout.note && <p class="words">{workout.note}</p>}
        <Sets sets={workout.sets} drills={page.drills} />
        <div class="notice caution"><p>{say("caution.student")}</p><p>{say("caution.parent")}</p></div>
      </section>
      <section aria-labelledby="film">
        <h2 id="film">{say("slip.howToFilm")}</h2>
        <div class="filming">
          <WhereToStand />
          <ul class="plain-list">{howToFilm.map((line) => <li key={line}><span>{say(line)}</span></li>)}</ul>
        </div>
      </section>
    </>
  );
  return (
    <>
      <main class="slip">
        <header class="slip-head">
          <LanguageSwitch language={language} choose={speakIn} />
          <p class="over">{say("slip.homeworkFor", { pitcher: page.pitcher })}</p>
          <h1>{workout.title}</h1>
          <p>{page.due ? say("slip.due", { reps: say("reps", { n: workout.reps }), day: day(page.due) }) : `${say("reps", { n: workout.reps })}.`}</p>
        </header>
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        {answer && <Answer page={page} answer={answer} />}
        {answer ? <details class="on-paper"><summary>{say("slip.again")}</summary><div class="slip-again">{whatToDo}</div></details> : whatToDo}
        <section class="no-print" aria-labelledby="send">
          <h2 id="send">{say("slip.send")}</h2>
          <p>{say("slip.several")}</p>
          <details><summary>{say("slip.inSlowMotion")}</summary><p>{say("slip.slowMotion")}</p></details>
          {picked && <p class="notice alarm" role="alert">{picked}</p>}
          <Films
            sendings={sendings.all} arriving={page.arriving} films={page.films} choose={picker(say("films.chooseAgain"), "primary")}
            pause={(id) => sendings.pause(id)} resume={(id) => sendings.resume(id)} remove={remove}
            drop={(id) => void dropUpload(id).then(refresh, refresh)}
          />
          <p class="quiet">{say("slip.whoSees")} {nearlyFull(limits) && say("slip.used", { used: limits.usedFiles, n: limits.maxFiles, usedSize: bytesText(limits.usedBytes), size: bytesText(limits.maxBytes) })}</p>
        </section>
        <Words page={page} />
        <p class="quiet">{say("slip.until", { day: moment(page.expires) })}</p>
      </main>
      <aside class="thumb no-print" aria-label={say("slip.onTheirWay")}>
        <div>
          <Overall sendings={sendings} films={page.films} />
          {picker(say(page.films.length + page.arriving.length + sendings.all.length > 0 ? "slip.sendMore" : "slip.choose"), "primary")}
        </div>
      </aside>
    </>
  );
}

/** Whether she should know how much a homework takes: most send a fraction of it. */
const nearlyFull = (limits: SlipPage["limits"]) => 2 * limits.usedFiles >= limits.maxFiles || 2 * limits.usedBytes >= limits.maxBytes;

/** How far all films on their way are, or that they are there, over the thumb's button. */
function Overall({ sendings, films }: { sendings: Sendings<File>; films: readonly SlipFilm[] }) {
  const { say } = useSaid();
  const all = sendings.all.filter((s) => s.state !== "refused");
  if (all.length === 0) return <There films={films} />;
  const whole = all.reduce((n, s) => n + s.file.size, 0);
  const sent = all.reduce((n, s) => n + s.sent, 0);
  const stands = all.some((s) => s.state === "interrupted") ? "films.standsInterrupted" : all.every((s) => s.state === "paused") ? "films.standsPaused" : "films.standsSending";
  return (
    <>
      <p><span>{say(stands, { n: all.length })}</span><span>{share(sent, whole)}</span></p>
      {sendings.busy && <p class="quiet">{say(held() ? "films.screenStaysOn" : "films.keepScreenOn")}</p>}
    </>
  );
}

/** That her films are there, said where she pressed: their list may be out of sight. */
function There({ films }: { films: readonly SlipFilm[] }) {
  const { say } = useSaid();
  const refused = films.filter((f) => f.state === "refused").length;
  const there = films.length - refused;
  return (
    <div role="status">
      {there > 0 && <p class="arrived">{say("films.haveArrived", { n: there })}</p>}
      {refused > 0 && <p>{say("films.unusable", { n: refused })}</p>}
    </div>
  );
}

function useSendings(refresh: () => void): Sendings<File> {
  const [, paint] = useState(0);
  const made = useRef<Sendings<File> | undefined>(undefined);
  if (!made.current) {
    const carry = carryBy(pass);
    const sendings: Sendings<File> = new Sendings<File>({
      carry: (file, from, on) =>
        carry(file, from, {
          ...on,
          begun: (address) => {
            on.begun(address);
            void markOf(file).then((mark) => readSlip().then(({ arriving }) => remember(idIn(address), mark, arriving))).catch(() => {});
          },
        }),
      changed: () => {
        stayAwake(sendings.busy, () => paint((n) => n + 1));
        paint((n) => n + 1);
      },
      arrived: refresh,
      after: (ms, call) => {
        const timer = setTimeout(call, ms);
        return () => clearTimeout(timer);
      },
    });
    made.current = sendings;
  }
  const sendings = made.current;
  useEffect(() => {
    const back = () => sendings.tryNow();
    const leaving = (event: BeforeUnloadEvent) => {
      if (sendings.busy) event.preventDefault();
    };
    addEventListener("online", back);
    addEventListener("beforeunload", leaving);
    return () => {
      removeEventListener("online", back);
      removeEventListener("beforeunload", leaving);
    };
  }, [sendings]);
  return sendings;
}
