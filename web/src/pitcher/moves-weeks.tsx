// How she moves on her off-speed pitches, bullpen by bullpen: each number against her own
// fastballs of that day, and only bullpens that were filmed from one place. Behind a touch,
// and only then worked out.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { MovesWeeks as Weeks, Pitch } from "../api/types";
import type { usePitchTypes } from "../api/use-pitch-types";
import { capital } from "../bullpen/said";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName, pitchNames } from "../words/workout";
import { dayText } from "../words/speed";

interface Props {
  pitcherId: string;
  baseline: Pitch;
  /** Another one asks again. */
  revision: unknown;
  types: ReturnType<typeof usePitchTypes>;
}

export function MovesWeeks({ pitcherId, baseline, revision, types }: Props) {
  const [open, setOpen] = useState(false);
  const [weeks, setWeeks] = useState<Weeks>();
  const [failure, setFailure] = useState("");
  useEffect(() => {
    if (!open) return;
    const gone = new AbortController();
    setFailure("");
    ask("get", "/api/pitchers/{id}/moves", { path: { id: pitcherId }, signal: gone.signal }).then(setWeeks, (failed: unknown) => !gone.signal.aborted && setFailure(sentenceOf(failed)));
    return () => gone.abort();
  }, [open, pitcherId, revision]);
  return (
    <details class="fold" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>How she moves, over the weeks</summary>
      <div class="folded">
        {failure && <p class="notice alarm" role="alert">{failure}</p>}
        {open && !weeks && !failure && <p class="quiet" role="status">Looking …</p>}
        {weeks?.pitches.length === 0 && <p>Nothing to look at yet: it is said from two bullpens on that were filmed from one place, with her joints found.</p>}
        {weeks && weeks.pitches.length > 0 && <p class="quiet">How much more or less than on her own fastballs of the same day, as one camera sees it, with the range that holds 19 times of 20. Bold: it clearly differs.</p>}
        {weeks?.pitches.map((p) => (
          <article key={p.pitch}>
            <h3>{capital(pitchName(types, p.pitch))}</h3>
            <div class="scroll" tabIndex={0} role="region" aria-label={`How she moves on her ${pitchName(types, p.pitch)}, bullpen by bullpen`}>
              <table class="ledger-table">
                <thead><tr><th scope="col">bullpen</th>{p.measures.map((m) => <th key={m} scope="col">{m}</th>)}</tr></thead>
                <tbody>
                  {p.weeks.map((w) => (
                    <tr key={w.bullpenId}>
                      <th scope="row"><Link to={to.bullpen(w.bullpenId)}>{dayText(w.day)}</Link> <span class="quiet">{w.off} of them, {w.fast} {pitchNames(types, baseline)}</span></th>
                      {w.cells.map((c, i) => <td key={p.measures[i]}>{c.said === "" ? <span class="quiet">not seen</span> : c.clear ? <b>{c.said}</b> : c.said}</td>)}
                    </tr>
                  ))}
                </tbody>
              </table>
            </div>
            {p.elsewhere > 0 && <p class="quiet fine">{p.elsewhere === 1 ? "One bullpen is" : `${p.elsewhere} bullpens are`} left out: the phone stood elsewhere, where it sees another side of her.</p>}
          </article>
        ))}
      </div>
    </details>
  );
}
