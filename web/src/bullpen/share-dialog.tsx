// Shares one bullpen's result with the pitcher and her parents: with whose consent, which
// clips, until when; then the link, which is told once.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Clip, MadeShare, ShareList, Sheet } from "../api/types";
import { ConsentForm, useConsents, whoSaysYes } from "../links/consent";
import { LinkItem } from "../links/link-item";
import { MadeLink } from "../links/made-link";
import { Dialog } from "../parts/dialog";
import { clipName } from "../words/clip";

const warning = "Whoever has it sees this result, how she moves and what comes next, and the clips you chose, and nothing else, so give it to her or her parents only.";

export function ShareDialog({ sheet, onClose }: { sheet: Sheet; onClose: () => void }) {
  const { shares, problem, refresh } = useShares(sheet.bullpen.id);
  const { list: consents, refresh: consented } = useConsents(sheet.pitcher.id);
  const [made, setMade] = useState<MadeShare>();
  const yes = consents && whoSaysYes(consents, "results");
  const title = "Share with her and her parents";
  if (made) {
    return (
      <Dialog title="The link" onClose={onClose}>
        <MadeLink made={made} warning={warning} qrName="result-link.png" />
        <footer><button type="button" class="button primary" onClick={onClose}>Done</button></footer>
      </Dialog>
    );
  }
  return (
    <Dialog title={title} onClose={onClose}>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {consents && !yes && <ConsentForm pitcherId={sheet.pitcher.id} asks={consents.asks} needed="results" onGiven={() => { consented(); refresh(); }} />}
      {yes && shares && (
        <>
          <p class="quiet">Yes to her results: {yes}.</p>
          <Choice sheet={sheet} shares={shares} onMade={setMade} onClose={onClose} />
        </>
      )}
      {shares && shares.shares.length > 0 && (
        <section class="stack" aria-labelledby="links-before">
          <h3 id="links-before">Her links to this result</h3>
          <ul class="cards">
            {shares.shares.map((s) => {
              const of = { path: { id: s.id } };
              return (
                <LinkItem key={s.id} link={s} consent={shares.consent} refresh={refresh}
                  renew={() => ask("post", "/api/shares/{id}/renew", { ...of, body: {} })} revoke={() => ask("post", "/api/shares/{id}/revoke", of)}>
                  ; shows {s.clipIds.length === 1 ? "1 clip" : `${s.clipIds.length} clips`}
                </LinkItem>
              );
            })}
          </ul>
        </section>
      )}
    </Dialog>
  );
}

/** Which clips, and until when. */
function Choice({ sheet, shares, onMade, onClose }: { sheet: Sheet; shares: ShareList; onMade: (made: MadeShare) => void; onClose: () => void }) {
  const clips = sheet.clips.filter((c) => c.playable && !c.stale);
  const stale = sheet.clips.some((c) => c.playable && c.stale);
  const [chosen, setChosen] = useState<readonly string[]>(() => clips.filter(usual(sheet)).map((c) => c.id));
  const [days, setDays] = useState("14");
  const [problem, setProblem] = useState("");
  const [busy, setBusy] = useState(false);
  const pick = (id: string, on: boolean) => setChosen(clips.map((c) => c.id).filter((c) => (c === id ? on : chosen.includes(c))));
  const make = async (event: Event) => {
    event.preventDefault();
    setBusy(true);
    try {
      onMade(await ask("post", "/api/bullpens/{id}/shares", { path: { id: sheet.bullpen.id }, body: { days: Number(days), clipIds: [...chosen] } }));
    } catch (failure) {
      setProblem(sentenceOf(failure));
    }
    setBusy(false);
  };
  return (
    <form class="stack" onSubmit={(e) => void make(e)}>
      {clips.length > 0
        ? (
          <fieldset class="fieldset">
            <legend>They see the headline, the target, how she moves and what comes next, and these clips</legend>
            <div class="picks">
              {clips.map((c) => <label key={c.id}><input type="checkbox" checked={chosen.includes(c.id)} onChange={(e) => pick(c.id, e.currentTarget.checked)} /> {clipName(c, sheet)}</label>)}
            </div>
          </fieldset>
        )
        : <p>They see the headline, the target, how she moves and what comes next. {stale ? "Make the clips again first if they shall see clips." : "Make clips first if they shall see some."}</p>}
      {clips.length > 0 && stale && <p class="quiet">Clips that show something that has changed since are left out; make them again to share them.</p>}
      <label class="field"><span>The link opens for</span>
        <select class="input" value={days} onChange={(e) => setDays(e.currentTarget.value)}>{[3, 7, 14, 30, 60].map((d) => <option key={d} value={d}>{d} days</option>)}</select>
      </label>
      <p class="notice">The message to paste: “{shares.message}”</p>
      {shares.shares.some((s) => s.state === "open") && <p class="quiet">The link she has opens nothing any more once there is a new one.</p>}
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <footer>
        <button type="button" class="button" onClick={onClose}>Cancel</button>
        <button class="button primary" data-first disabled={busy}>Make the link</button>
      </footer>
    </form>
  );
}

/** What is chosen to begin with: every side by side, and each off-speed rep's clip. */
function usual(sheet: Sheet): (clip: Clip) => boolean {
  return (clip) => clip.kind === "pair" || sheet.reps.some((r) => r.id === clip.repIds[0] && r.pitch !== sheet.pitcher.baselinePitch);
}

function useShares(bullpenId: string) {
  const [shares, setShares] = useState<ShareList>();
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    ask("get", "/api/bullpens/{id}/shares", { path: { id: bullpenId } }).then(
      (fresh) => {
        setShares(fresh);
        setProblem("");
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, [bullpenId]);
  useEffect(refresh, [refresh]);
  return { shares, problem, refresh };
}
