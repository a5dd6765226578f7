// The student's page: what to do, how to film it, sending it, and what came back.
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { APIError, sentenceOf } from "../api/client";
import type { SlipPage } from "../api/types";
import { repsText } from "../workouts/said";
import { bytesText, momentDayText } from "../words/size";
import { dayText } from "../words/speed";
import { Answer } from "./answer";
import { carryBy } from "./carry";
import { dropUpload, pass, readSlip, token } from "./desk";
import { Films, share } from "./films";
import { addressOf, goesOn, idIn, markOf, marks, otherSize, remember } from "./known";
import { Sendings } from "./sendings";
import { Sets } from "./sets";
import { held, stayAwake } from "./stay-awake";
import { WhereToStand } from "./where-to-stand";
import { Words } from "./words";

export function SlipScreen() {
  const { page, problem, closed, refresh } = useSlip();
  const sendings = useSendings(refresh);
  if (closed || (!page && problem)) {
    return (
      <main class="closed">
        <h1>{closed ? "This link opens nothing" : "Your homework can’t be read just now"}</h1>
        <p role="alert">{closed ? "It may have run out, or there is a newer one. Ask your instructor for a new link." : problem}</p>
        {!closed && <button type="button" class="button primary" onClick={refresh}>Try again</button>}
      </main>
    );
  }
  if (!page) return <main class="closed"><p>Your homework opens …</p></main>;
  return <Homework page={page} sendings={sendings} refresh={refresh} problem={problem} />;
}

function Homework({ page, sendings, refresh, problem }: { page: SlipPage; sendings: Sendings<File>; refresh: () => void; problem: string }) {
  const { workout, answer, limits } = page;
  const [picked, setPicked] = useState("");
  useEffect(() => void (document.title = `${workout.title}: your homework`), [workout.title]);

  const choose = async (list: FileList | null) => {
    const known = marks();
    for (const file of Array.from(list ?? [])) {
      try {
        const on = goesOn(page.arriving, file, await markOf(file), known);
        sendings.add(file, on && addressOf(on.id));
        const other = otherSize(page.arriving, file);
        if (other) setPicked(`“${file.name}” has another size than the film that stood still (${bytesText(file.size)}, not ${bytesText(other.bytes)}), so it is sent from its beginning. If it is the same one, give the old one up.`);
      } catch {
        setPicked(`“${file.name}” can’t be read on this phone. Choose it again.`);
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
        <h2 id="do">What to do</h2>
        {workout.note && <p class="words">{workout.note}</p>}
        <Sets sets={workout.sets} drills={page.drills} types={page.pitchTypes} />
        <div class="notice caution">{page.cautions.map((sentence) => <p key={sentence}>{sentence}</p>)}</div>
      </section>
      <section aria-labelledby="film">
        <h2 id="film">How to film it</h2>
        <div class="filming">
          <WhereToStand />
          <ul class="plain-list">{page.howToFilm.map((line) => <li key={line}><span>{line}</span></li>)}</ul>
        </div>
      </section>
    </>
  );
  return (
    <>
      <main class="slip">
        <header class="slip-head">
          <p class="over">Homework for {page.pitcher}</p>
          <h1>{workout.title}</h1>
          <p>{repsText(workout.reps)}{page.due ? `, due ${dayText(page.due)}` : ""}. This link is yours alone and opens until {momentDayText(page.expires)}.</p>
        </header>
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        {answer && <Answer page={page} answer={answer} />}
        {answer ? <details><summary>The homework again</summary><div class="slip-again">{whatToDo}</div></details> : whatToDo}
        <section aria-labelledby="send">
          <h2 id="send">Send your film</h2>
          <p>Several films are fine. If the signal goes or the phone sleeps, nothing is lost: it goes on from where it was.</p>
          <p>Slow motion: send it as a file, or the phone may leave most of its pictures out. In the phone’s photos share the film with all its data and save it to its files; then choose it here from the files, not from the photos.</p>
          {picked && <p class="notice alarm" role="alert">{picked}</p>}
          <Films
            sendings={sendings.all} arriving={page.arriving} films={page.films} choose={picker("Choose again", "primary")}
            pause={(id) => sendings.pause(id)} resume={(id) => sendings.resume(id)} remove={remove}
            drop={(id) => void dropUpload(id).then(refresh, refresh)}
          />
          <p class="quiet">{limits.usedFiles === 0 ? `There is room for ${limits.maxFiles} films` : `${limits.usedFiles} of ${limits.maxFiles} films`}, {limits.usedFiles > 0 && `${bytesText(limits.usedBytes)} of `}{bytesText(limits.maxBytes)}. Only your instructor sees them.</p>
        </section>
        <Words page={page} />
      </main>
      <aside class="thumb" aria-label="Films on their way">
        <div>
          <Overall sendings={sendings} />
          {picker(page.films.length + page.arriving.length + sendings.all.length > 0 ? "Send more films" : "Choose films to send", "primary")}
        </div>
      </aside>
    </>
  );
}

/** How far all films on their way are, over the thumb's button. */
function Overall({ sendings }: { sendings: Sendings<File> }) {
  const all = sendings.all.filter((s) => s.state !== "refused");
  if (all.length === 0) return null;
  const whole = all.reduce((n, s) => n + s.file.size, 0);
  const sent = all.reduce((n, s) => n + s.sent, 0);
  const stands = all.some((s) => s.state === "interrupted") ? "Interrupted" : all.every((s) => s.state === "paused") ? "Paused" : "Sending";
  return (
    <>
      <p><span>{stands}: {all.length === 1 ? "1 film" : `${all.length} films`}</span><span>{share(sent, whole)}</span></p>
      {sendings.busy && <p class="quiet">{held() ? "The screen stays on meanwhile." : "Keep the screen on and this page open until then."}</p>}
    </>
  );
}

function useSlip() {
  const [page, setPage] = useState<SlipPage>();
  const [problem, setProblem] = useState("");
  const [closed, setClosed] = useState(false);
  const refresh = useCallback(() => {
    if (token() === "") return setClosed(true);
    readSlip().then(
      (fresh) => {
        setPage(fresh);
        setProblem("");
      },
      (failure: unknown) => {
        const status = failure instanceof APIError ? failure.status : -1;
        if (status === 401 || status === 403 || status === 404) setClosed(true);
        else setProblem(status === 0 ? "There is no connection just now." : sentenceOf(failure));
      },
    );
  }, []);
  useEffect(() => {
    refresh();
    const look = () => document.visibilityState === "visible" && refresh();
    const other = () => location.reload();
    document.addEventListener("visibilitychange", look);
    addEventListener("online", look);
    addEventListener("hashchange", other);
    return () => {
      document.removeEventListener("visibilitychange", look);
      removeEventListener("online", look);
      removeEventListener("hashchange", other);
    };
  }, [refresh]);
  return { page, problem, closed, refresh };
}

function useSendings(refresh: () => void): Sendings<File> {
  const [, paint] = useState(0);
  const made = useRef<Sendings<File> | undefined>(undefined);
  if (!made.current) {
    const carry = carryBy(pass());
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
