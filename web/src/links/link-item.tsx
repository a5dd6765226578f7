// One private link in a list: open, run out, revoked, or closed by a backup that was
// brought back; and what can be done with it.
import type { ComponentChildren } from "preact";
import type { Link } from "../api/types";
import { act } from "../shell/act";
import { momentDayText } from "../words/size";

interface Props {
  link: Link;
  consent: boolean;
  refresh: () => void;
  renew: () => Promise<unknown>;
  revoke: () => Promise<unknown>;
  /** What else is said of it. */
  children?: ComponentChildren;
}

export function LinkItem({ link: l, consent, refresh, renew, revoke, children }: Props) {
  const does = async (doing: Promise<unknown>, done: string) => {
    if (await act(doing, done)) refresh();
  };
  return (
    <li class="card item">
      <h3>{l.state === "open" ? `Opens until ${momentDayText(l.expires)}` : l.state === "expired" ? `Ran out on ${momentDayText(l.expires)}` : l.state === "restored" ? "Closed: a backup was brought back" : "Revoked"}</h3>
      <p class="quiet">Made {momentDayText(l.created)}, {l.lastUsed ? `last looked at ${momentDayText(l.lastUsed)}` : "never looked at"}{children}.</p>
      {l.state === "restored" && <p>The link she has opens again for 14 days when you say so.</p>}
      {l.state !== "revoked" && (
        <div class="row">
          <button type="button" class="button" disabled={!consent} onClick={() => void does(renew(), "It opens for at least 14 days from now.")}>Renew for 14 days</button>
          <button type="button" class="button" onClick={() => void does(revoke(), "The link opens nothing any more.")}>Revoke</button>
        </div>
      )}
    </li>
  );
}
