// A private link to the field page, as a QR code for the phone that goes to the fence.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { FieldLink, MadeFieldLink } from "../api/types";
import { CopyButton } from "../parts/copy-button";
import { Dialog } from "../parts/dialog";
import { act } from "../shell/act";
import { say } from "../shell/say";
import { momentDayText } from "../words/size";

/** For one bullpen, or for all pitchers. */
export function FieldLinkButton(of: { bullpenId?: string; whose?: string }) {
  const { make, shown } = useFieldLink(of);
  return <><button type="button" class="button" onClick={make}>Readings by phone</button>{shown}</>;
}

/** Makes a link; shown is the window with it. */
export function useFieldLink({ bullpenId, whose }: { bullpenId?: string; whose?: string }) {
  const [made, setMade] = useState<MadeFieldLink>();
  const make = () =>
    void ask("post", "/api/field-links", { body: bullpenId ? { bullpenId } : {} }).then(setMade, (failure: unknown) => say(sentenceOf(failure), true));
  return { make, shown: made && <MadeLink made={made} whose={whose} onClose={() => setMade(undefined)} /> };
}

function MadeLink({ made, whose, onClose }: { made: MadeFieldLink; whose: string | undefined; onClose: () => void }) {
  return (
    <Dialog title="Readings by phone" onClose={onClose}>
      <p>Scan it with the phone that goes to the fence. Type reading, pitch and call after each throw; what you type finds its reps when the film is here.</p>
      {made.hint && <p class="notice">{made.hint}</p>}
      <img class="qr" src={made.qrSvg} alt="The link as a QR code, for the phone’s camera" width="260" height="260" />
      <label class="field"><span>Link</span><input class="input" data-link readOnly value={made.link} onFocus={(e) => e.currentTarget.select()} /></label>
      <p class="quiet">It opens until {momentDayText(made.fieldLink.expires)}. Whoever has it can send readings {whose ? `for ${whose}` : "and sees your pitchers’ nicknames"}, and sees nothing else.</p>
      <OpenLinks made={made.fieldLink.id} />
      <footer>
        <CopyButton text={made.link}>Copy the link</CopyButton>
        <button type="button" class="button primary" onClick={onClose}>Done</button>
      </footer>
    </Dialog>
  );
}

/** Links that were made before, to be revoked. */
function OpenLinks({ made }: { made: string }) {
  const [links, setLinks] = useState<FieldLink[]>([]);
  useEffect(() => void ask("get", "/api/field-links").then((all) => setLinks(all.links), () => undefined), []);
  const others = links.filter((l) => l.id !== made);
  const revoke = async (id: string) => {
    const asked = ask("post", "/api/field-links/{id}/revoke", { path: { id } });
    if (await act(asked, "That link opens nothing any more.")) setLinks((await asked).links);
  };
  if (others.length === 0) return null;
  return (
    <details>
      <summary>{others.length === 1 ? "One other link is open" : `${others.length} other links are open`}</summary>
      <ul class="field-links">
        {others.map((l) => (
          <li key={l.id}>
            <span>{l.bullpenId ? "For one bullpen" : "For all pitchers"}, made {momentDayText(l.created)}, {l.lastUsed ? `last used ${momentDayText(l.lastUsed)}` : "never used"}</span>
            <button type="button" class="button" onClick={() => void revoke(l.id)}>Revoke</button>
          </li>
        ))}
      </ul>
    </details>
  );
}
