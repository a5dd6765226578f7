// The links of one homework: open, run out, revoked, or closed by a backup that was
// brought back. A new one closes the others.
import { useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Homework, MadeSlip, Slip } from "../api/types";
import { Dialog } from "../parts/dialog";
import { say } from "../shell/say";
import { bytesText } from "../words/size";
import { LinkItem } from "../links/link-item";
import { MadeLink } from "../links/made-link";
import { whoHasIt } from "./said";

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
        {!h.consent && <p class="quiet">Nobody says yes to homework, so no link can be made.</p>}
      </div>
      {made && (
        <Dialog title="The link" onClose={() => setMade(undefined)}>
          <MadeLink made={made} warning={whoHasIt} qrName="homework-link.png" />
          <footer><button type="button" class="button primary" onClick={() => setMade(undefined)}>Done</button></footer>
        </Dialog>
      )}
    </section>
  );
}

function SlipItem({ slip: s, consent, refresh }: { slip: Slip; consent: boolean; refresh: () => void }) {
  const of = { path: { id: s.id } };
  return (
    <LinkItem link={s} consent={consent} refresh={refresh}
      renew={() => ask("post", "/api/slips/{id}/renew", { ...of, body: {} })} revoke={() => ask("post", "/api/slips/{id}/revoke", of)}>
      ; takes {s.maxFiles} films, {bytesText(s.maxBytes)}
    </LinkItem>
  );
}
