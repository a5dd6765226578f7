// A guardian's word: who said yes, when, and for what. Without one no link is made.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { ConsentList, NewConsent } from "../api/types";
import { act } from "../shell/act";
import { say } from "../shell/say";
import { capital } from "../said/names";
import { dayText } from "../words/speed";

/** What a guardian may say yes to. */
export type Purpose = NewConsent["for"][number];

export function useConsents(pitcherId: string | undefined) {
  const [list, setList] = useState<ConsentList>();
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    if (!pitcherId) return;
    ask("get", "/api/pitchers/{id}/consents", { path: { id: pitcherId } }).then(
      (fresh) => {
        setList(fresh);
        setProblem("");
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, [pitcherId]);
  useEffect(() => {
    setList(undefined);
    refresh();
  }, [refresh]);
  return { list, problem, refresh };
}

/** Today as the computer has it, YYYY-MM-DD. */
function today(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/** Who says yes to one purpose: "her mother and her father"; "" where the server knows of no yes that stands. */
export function whoSaysYes(list: ConsentList, to: Purpose): string {
  if (!list.standing.includes(to)) return "";
  return [...new Set(list.consents.filter((c) => !c.withdrawn && !c.givenTo && c.for.includes(to)).map((c) => c.guardian))].join(" and ");
}

/** Asks for a yes; needed is what it is wanted for just now: named, and never ticked for them. It comes inside another form's dialog: its button does the work. */
export function ConsentForm({ pitcherId, asks, onGiven, needed }: { pitcherId: string; asks: ConsentList["asks"]; onGiven: () => void; needed?: Purpose }) {
  const [guardian, setGuardian] = useState("");
  const [given, setGiven] = useState(today);
  const [to, setTo] = useState<readonly Purpose[]>([]);
  const [covers, setCovers] = useState("");
  const [problem, setProblem] = useState("");
  const agree = (purpose: Purpose, yes: boolean) => setTo(asks.map((a) => a.for).filter((p) => (p === purpose ? yes : to.includes(p))));
  const save = async (event: Event) => {
    event.preventDefault();
    if (to.length === 0) return setProblem("Tick what they said yes to.");
    if (needed && !to.includes(needed)) return setProblem(`Without a yes to ${needed} there is no link: tick it if they gave it.`);
    setProblem("");
    if (await act(ask("post", "/api/pitchers/{id}/consents", { path: { id: pitcherId }, body: { guardian, given, for: [...to], ...(covers.trim() ? { covers: covers.trim() } : {}) } }), "The consent is on record.")) onGiven();
  };
  return (
    <form class="stack card" onSubmit={(e) => void save(e)}>
      <p>{needed ? `A parent or guardian has to say yes to ${needed} first.` : "A parent or guardian says yes to each by itself."} Tick only what they said yes to.</p>
      <label class="field"><span>Who said yes</span><input class="input" data-first required maxLength={120} autocomplete="off" value={guardian} onInput={(e) => setGuardian(e.currentTarget.value)} /></label>
      <fieldset class="fieldset">
        <legend>To what</legend>
        <div class="picks">{asks.map((a) => <label key={a.for}><input type="checkbox" checked={to.includes(a.for)} onChange={(e) => agree(a.for, e.currentTarget.checked)} /> {a.words}</label>)}</div>
      </fieldset>
      <label class="field"><span>When</span><input class="input" type="date" required value={given} onInput={(e) => setGiven(e.currentTarget.value)} /></label>
      <label class="field"><span>In their words, if there is more to it</span><textarea class="input" rows={2} maxLength={600} value={covers} onInput={(e) => setCovers(e.currentTarget.value)} /></label>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <div><button class="button primary">Put it on record</button></div>
    </form>
  );
}

/** What is on record for a pitcher; withdrawing closes her links. */
export function Consents({ pitcherId }: { pitcherId: string }) {
  const { list, problem, refresh } = useConsents(pitcherId);
  const [adding, setAdding] = useState(false);
  const withdraw = async (id: string) => {
    try {
      const after = await ask("post", "/api/consents/{id}/withdraw", { path: { id } });
      say(`Withdrawn. ${after.linksClosed === 1 ? "1 link is" : `${after.linksClosed} links are`} closed by it.`);
      refresh();
    } catch (failure) {
      say(sentenceOf(failure), true);
    }
  };
  return (
    <section aria-labelledby="consent">
      <h2 id="consent">A guardian’s consent</h2>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {list?.consents.length === 0 && <p class="quiet">None is on record; without one no link can be made.</p>}
      <ul class="cards">
        {list?.consents.map((c) => (
          <li key={c.id} class="card item">
            <h3>{c.guardian}</h3>
            <p>{dayText(c.given)}:</p>
            {c.asked
              ? <ul class="sets-said">{c.asked.map((words) => <li key={words}>{words}</li>)}</ul>
              : <p>{capital(c.for.join(", "))}, as asked on that day; the words were not kept then.</p>}
            {c.covers && <p class="pre">“{c.covers}”</p>}
            {c.givenTo && !c.withdrawn && <p>It was given to {c.givenTo} and does not count for you. Ask again, and record the answer.</p>}
            {c.withdrawn ? <p class="quiet">Withdrawn.</p> : <button type="button" class="button" onClick={() => void withdraw(c.id)}>Withdraw it</button>}
          </li>
        ))}
      </ul>
      {adding
        ? <ConsentForm pitcherId={pitcherId} asks={list?.asks ?? []} onGiven={() => { setAdding(false); refresh(); }} />
        : list && <div><button type="button" class="button" onClick={() => setAdding(true)}>Record a consent</button></div>}
    </section>
  );
}
