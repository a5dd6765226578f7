// A guardian's word: who said yes, when, and for what. Without one no link is made.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { ConsentList } from "../api/types";
import { act } from "../shell/act";
import { say } from "../shell/say";
import { dayText } from "../words/speed";

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

/** What a guardian is usually asked to agree to. */
const toHomework = "Films of her homework, seen by her instructor alone, and clips sent back to her.";

/** The form comes inside another form's dialog: its button does the work. */
export function ConsentForm({ pitcherId, onGiven, to: what = toHomework }: { pitcherId: string; onGiven: () => void; to?: string }) {
  const [guardian, setGuardian] = useState("");
  const [given, setGiven] = useState(today);
  const [covers, setCovers] = useState(what);
  const save = async (event: Event) => {
    event.preventDefault();
    if (await act(ask("post", "/api/pitchers/{id}/consents", { path: { id: pitcherId }, body: { guardian, given, covers } }), "The consent is on record.")) onGiven();
  };
  return (
    <form class="stack card" onSubmit={(e) => void save(e)}>
      <p>A parent or guardian has to agree before her film can be shared by a link. Write down who did, when, and to what.</p>
      <label class="field"><span>Who said yes</span><input class="input" data-first required maxLength={120} autocomplete="off" value={guardian} onInput={(e) => setGuardian(e.currentTarget.value)} /></label>
      <label class="field"><span>When</span><input class="input" type="date" required value={given} onInput={(e) => setGiven(e.currentTarget.value)} /></label>
      <label class="field"><span>To what</span><textarea class="input" rows={2} required maxLength={600} value={covers} onInput={(e) => setCovers(e.currentTarget.value)} /></label>
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
            <p>{dayText(c.given)}: {c.covers}</p>
            {c.withdrawn ? <p class="quiet">Withdrawn.</p> : <button type="button" class="button" onClick={() => void withdraw(c.id)}>Withdraw it</button>}
          </li>
        ))}
      </ul>
      {adding
        ? <ConsentForm pitcherId={pitcherId} onGiven={() => { setAdding(false); refresh(); }} />
        : list && <div><button type="button" class="button" onClick={() => setAdding(true)}>Record a consent</button></div>}
    </section>
  );
}
