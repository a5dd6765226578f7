// How the two deliveries' times differ, in words and milliseconds. All of it is the
// server's.
import type { Pair } from "../api/types";

type Phase = Pair["phases"][number];

/** The phases that have a name of their own. */
const names: Record<string, string> = { "drive plant": "legs", "top release": "arm", "drive release": "all of it" };

export function Times({ look }: { look: Pair }) {
  if (look.phases.length === 0) {
    return <p class="quiet">When the four instants of both reps are marked or found in the film room, their times stand here beside each other.</p>;
  }
  return (
    <details class="depth two-times">
      <summary>The times in milliseconds</summary>
      {look.sentence && <p class="says">{look.sentence}.</p>}
      <div class="scroll" tabIndex={0} role="region" aria-label="Times, a table">
        <table>
          <thead><tr><th scope="col">from, to</th><th scope="col">{look.off.rep.order}. {look.off.rep.pitchName}</th><th scope="col">{look.fast.rep.order}. {look.fast.rep.pitchName}</th><th scope="col">difference</th></tr></thead>
          <tbody>{look.phases.map((p) => <Row key={`${p.from} ${p.to}`} phase={p} />)}</tbody>
        </table>
      </div>
    </details>
  );
}

function Row({ phase: p }: { phase: Phase }) {
  const name = names[`${p.from} ${p.to}`];
  return (
    <tr>
      <th scope="row">{name && <b>{name}: </b>}{p.from} to {p.to}</th>
      <td>{p.offShown} ms</td>
      <td>{p.fastShown} ms</td>
      <td>{p.clear ? <b>{p.said}</b> : p.said}</td>
    </tr>
  );
}
