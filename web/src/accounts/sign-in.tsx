// Who asks: the page of a server that others can reach begins here.
import { useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Session } from "../api/types";

export function SignIn({ onSignedIn }: { onSignedIn: (session: Session) => void }) {
  const [name, setName] = useState("");
  const [passphrase, setPassphrase] = useState("");
  const [problem, setProblem] = useState("");
  const [busy, setBusy] = useState(false);
  const enter = async (event: Event) => {
    event.preventDefault();
    setBusy(true);
    try {
      onSignedIn((await ask("post", "/api/session", { body: { name, passphrase } })) as Session);
    } catch (failure) {
      setProblem(sentenceOf(failure));
      setBusy(false);
    }
  };
  return (
    <main class="screen sign-in">
      <h1>Sign in</h1>
      <form class="stack card" onSubmit={(e) => void enter(e)}>
        <label class="field"><span>Name</span><input class="input" required autofocus autocomplete="username" maxLength={60} value={name} onInput={(e) => setName(e.currentTarget.value)} /></label>
        <label class="field"><span>Passphrase</span><input class="input" type="password" required autocomplete="current-password" maxLength={200} value={passphrase} onInput={(e) => setPassphrase(e.currentTarget.value)} /></label>
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        <div><button class="button primary" disabled={busy}>Sign in</button></div>
      </form>
      <p class="quiet">A student opens her homework by the link she was sent, and needs no passphrase.</p>
    </main>
  );
}
