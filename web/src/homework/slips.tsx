// The links of one homework: open, run out, revoked, or closed by a backup that was
// brought back. A new one closes the others.
import { useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Homework, MadeSlip, Slip } from "../api/types";
import { act } from "../shell/act";
import { Dialog } from "../parts/dialog";
import { say } from "../shell/say";
import { bytesText, momentDayText } from "../words/size";
import { MadeLink } from "./made-link";

export function Slips({ homework: h, refresh }: { homework: Homework; refresh: () => void }) {
  const [made, setMade] = useState<MadeSlip>();
  const make = async () => {
    try {
      setMade(await ask("post", "/api/homework/{id}/slips", { path: { id: h.id }, body: {} }));
      refresh();
    } catch (failure) {
      say(sentenceOf(failure), true);
    }
  };
  return (
    <section aria-labelledby="slips">
      <h2 id="slips">Her link</h2>
      <ul class="cards">{h.slips.map((s) => <SlipItem key={s.id} slip={s} consent={h.consent} refresh={refresh} />)}</ul>
      <div class="row">
        <button type="button" class="button" disabled={!h.consent} onClick={() => void make()}>{h.slips.length > 0 ? "New link in place of the old" : "Make a link"}</button>
        {!h.consent && <p class="quiet">No consent stands, so no link can be made.</p>}
      </div>
      {made && (
        <Dialog title="The link" onClose={() => setMade(undefined)}>
          <MadeLink made={made} />
          <footer><button type="button" class="button primary" onClick={() => setMade(undefined)}>Done</button></footer>
        </Dialog>
      )}
    </section>
  );
}

function SlipItem({ slip: s, consent, refresh }: { slip: Slip; consent: boolean; refresh: () => void }) {
  const does = (path: "/api/slips/{id}/renew" | "/api/slips/{id}/revoke", done: string) => async () => {
    const asked = path === "/api/slips/{id}/renew" ? ask("post", path, { path: { id: s.id }, body: {} }) : ask("post", path, { path: { id: s.id } });
    if (await act(asked, done)) refresh();
  };
  return (
    <li class="card item">
      <h3>{s.state === "open" ? `Opens until ${momentDayText(s.expires)}` : s.state === "expired" ? `Ran out on ${momentDayText(s.expires)}` : s.state === "restored" ? "Closed: a backup was brought back" : "Revoked"}</h3>
      <p class="quiet">Made {momentDayText(s.created)}, {s.lastUsed ? `last looked at ${momentDayText(s.lastUsed)}` : "never looked at"}; takes {s.maxFiles} films, {bytesText(s.maxBytes)}.</p>
      {s.state === "restored" && <p>The link she has opens again for 14 days when you say so.</p>}
      {s.state !== "revoked" && (
        <div class="row">
          <button type="button" class="button" disabled={!consent} onClick={() => void does("/api/slips/{id}/renew", "It opens for 14 days from now.")()}>14 days from now</button>
          <button type="button" class="button" onClick={() => void does("/api/slips/{id}/revoke", "The link opens nothing any more.")()}>Revoke</button>
        </div>
      )}
    </li>
  );
}
