// Who is asking, for the whole page.
import { createContext } from "preact";
import { useContext, useEffect, useState } from "preact/hooks";
import { ask, signedOut } from "../api/client";
import { listen, listenAfresh } from "../api/events";
import type { Session } from "../api/types";

/** A server that asks for nothing: what is assumed until it has said otherwise. */
const nobody: Session = { open: true, signedIn: true, owner: true };

const SessionContext = createContext<Session>(nobody);
export const SessionPlace = SessionContext.Provider;

export const useSession = (): Session => useContext(SessionContext);

/** The session, undefined until it is known, and what to call when somebody signed in. */
export function useSessionOfPage(): [Session | undefined, (session: Session) => void] {
  const [session, setSession] = useState<Session>();
  useEffect(() => {
    // Without an answer the page is shown as it is: each part says that nobody answers.
    ask("get", "/api/session").then(setSession, () => setSession(nobody));
    const out = () => setSession({ open: false, signedIn: false, owner: false });
    addEventListener(signedOut, out);
    // Somebody may have signed in, or out, in another tab.
    const stop = listen("again", () => void ask("get", "/api/session").then(setSession, () => {}));
    return () => {
      removeEventListener(signedOut, out);
      stop();
    };
  }, []);
  const signedIn = (fresh: Session) => {
    setSession(fresh);
    listenAfresh();
  };
  return [session, signedIn];
}
