// Accounts: the owner's to add and remove; everybody's own passphrase.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Account } from "../api/types";
import { act } from "../shell/act";
import { momentDayText } from "../words/size";
import { Academy } from "./academy";
import { useSession } from "./session";

export function AccountsScreen() {
  const session = useSession();
  useEffect(() => void (document.title = "Settings, tenoff"), []);
  return (
    <>
      <h1>Settings</h1>
      <Keeping />
      {session.open ? <p class="notice">This server is reached from its own machine only, and asks for no passphrase.</p> : <OwnPassphrase />}
      {session.owner && <Everybody />}
      {session.owner && <Academy />}
    </>
  );
}

function Keeping() {
  const [days, setDays] = useState<string>();
  useEffect(() => void ask("get", "/api/settings").then(({ keepDays }) => setDays(String(keepDays)), () => {}), []);
  if (days === undefined) return null;
  const save = (event: Event) => {
    event.preventDefault();
    void act(ask("put", "/api/settings", { body: { keepDays: Number(days) } }), "Kept.");
  };
  return (
    <section aria-labelledby="keeping">
      <h2 id="keeping">How long homework films stay</h2>
      <form class="stack card" onSubmit={save}>
        <label class="field"><span>Days after the answer until a student’s original films are deleted; 0 keeps them</span><input class="input" type="number" min={0} max={3650} value={days} onInput={(e) => setDays(e.currentTarget.value)} /></label>
        <div><button class="button">Keep this</button></div>
      </form>
    </section>
  );
}

function OwnPassphrase() {
  const [old, setOld] = useState("");
  const [fresh, setFresh] = useState("");
  const change = async (event: Event) => {
    event.preventDefault();
    if (await act(ask("put", "/api/passphrase", { body: { old, new: fresh } }), "Changed. Sign in with the new one.")) location.reload();
  };
  return (
    <section aria-labelledby="own">
      <h2 id="own">Your passphrase</h2>
      <form class="stack card" onSubmit={(e) => void change(e)}>
        <label class="field"><span>As it was</span><input class="input" type="password" required autocomplete="current-password" value={old} onInput={(e) => setOld(e.currentTarget.value)} /></label>
        <label class="field"><span>New, at least 12 letters</span><input class="input" type="password" required minLength={12} maxLength={200} autocomplete="new-password" value={fresh} onInput={(e) => setFresh(e.currentTarget.value)} /></label>
        <div><button class="button">Change it</button></div>
      </form>
    </section>
  );
}

function Everybody() {
  const [accounts, setAccounts] = useState<Account[]>([]);
  const [problem, setProblem] = useState("");
  const [name, setName] = useState("");
  const [passphrase, setPassphrase] = useState("");
  const refresh = useCallback(() => {
    ask("get", "/api/accounts").then((list) => setAccounts(list.accounts), (failure) => setProblem(sentenceOf(failure)));
  }, []);
  useEffect(refresh, [refresh]);
  const add = async (event: Event) => {
    event.preventDefault();
    if (!(await act(ask("post", "/api/accounts", { body: { name, passphrase } }), `${name} can sign in now.`))) return;
    setName("");
    setPassphrase("");
    refresh();
  };
  const remove = async (a: Account) => {
    if (await act(ask("delete", "/api/accounts/{id}", { path: { id: a.id } }), `${a.name} can’t sign in any more.`)) refresh();
  };
  return (
    <section aria-labelledby="everybody">
      <h2 id="everybody">Instructors</h2>
      <p class="quiet">Each sees her own pitchers only.</p>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <ul class="cards">
        {accounts.map((a) => (
          <li key={a.id} class="card item">
            <h3>{a.name}</h3>
            <p class="quiet">{a.owner ? "owner, " : ""}since {momentDayText(a.created)}</p>
            {!a.owner && <button type="button" class="button" aria-label={`Remove ${a.name}`} onClick={() => void remove(a)}>Remove</button>}
          </li>
        ))}
      </ul>
      <form class="stack card" onSubmit={(e) => void add(e)}>
        <h3>Add an instructor</h3>
        <label class="field"><span>Name</span><input class="input" required maxLength={60} autocomplete="off" value={name} onInput={(e) => setName(e.currentTarget.value)} /></label>
        <label class="field"><span>First passphrase, at least 12 letters</span><input class="input" type="text" required minLength={12} maxLength={200} autocomplete="off" value={passphrase} onInput={(e) => setPassphrase(e.currentTarget.value)} /></label>
        <div><button class="button primary">Add</button></div>
      </form>
    </section>
  );
}
