// How she moves on her off-speed pitches, bullpen by bullpen: each number against her own
// fastballs of that day, and only bullpens that were filmed from one place.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { MovesWeeks as Weeks } from "../api/types";
import type { usePitchTypes } from "../api/use-pitch-types";
import { capital } from "../bullpen/said";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName } from "../words/workout";
import { dayText } from "../words/speed";

interface Props {
  pitcherId: string;
  /** Another one asks again. */
  revision: unknown;
  types: ReturnType<typeof usePitchTypes>;
}

export function MovesWeeks({ pitcherId, revision, types }: Props) {
  const [weeks, setWeeks] = useState<Weeks>();
  useEffect(() => {
    const gone = new AbortController();
    ask("get", "/api/pitchers/{id}/moves", { path: { id: pitcherId }, signal: gone.signal }).then(setWeeks, () => undefined); // the page says elsewhere that the server does not answer
    return () => gone.abort();
  }, [pitcherId, revision]);
  if (!weeks || weeks.pitches.length === 0) return null;
  return (
    <details class="fold">
      <summary>How she moves, over the weeks</summary>
      <div class="folded">
        <p class="quiet">How much more or less than on her own fastballs of the same day, as one camera sees it, with the range that holds 19 times of 20. Bold: it clearly differs.</p>
        {weeks.pitches.map((p) => (
          <article key={p.pitch}>
            <h3>{capital(pitchName(types, p.pitch))}</h3>
            <div class="scroll" tabIndex={0} role="region" aria-label={`How she moves on her ${pitchName(types, p.pitch)}, bullpen by bullpen`}>
              <table class="ledger-table">
                <thead><tr><th scope="col">bullpen</th>{p.measures.map((m) => <th key={m} scope="col">{m}</th>)}</tr></thead>
                <tbody>
                  {p.weeks.map((w) => (
                    <tr key={w.bullpenId}>
                      <th scope="row"><Link to={to.bullpen(w.bullpenId)}>{dayText(w.day)}</Link> <span class="quiet">{w.off} and {w.fast}</span></th>
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
