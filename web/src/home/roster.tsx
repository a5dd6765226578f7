// The pitchers who threw last: each with her last target in small, the line of her weeks, and
// what is due. The others are asked for when somebody opens their list.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { PitcherCard, RosterCard } from "../api/types";
import { SmallTarget, WeeksLine } from "../pictures/small-target";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { agoText, dueText } from "./said";

export function Roster({ pitchers, more, today }: { pitchers: readonly RosterCard[]; more: number; today: string }) {
  if (pitchers.length === 0) return null;
  return (
    <section aria-labelledby="pitchers">
      <h2 id="pitchers">Pitchers</h2>
      <ul class="cards roster">
        {pitchers.map((p) => (
          <li key={p.id} class="card item">
            <h3><Link to={to.pitcher(p.id)}>{p.label}</Link></h3>
            <p class="quiet">{threwText(p, today)}</p>
            {p.target && <SmallTarget target={p.target} />}
            {p.target && <WeeksLine weeks={p.weeks} target={p.target} />}
            {p.due && <p class={p.due < today ? "due late" : "due"}>{dueText(p.due, today)}</p>}
          </li>
        ))}
      </ul>
      {more > 0 && <Others but={pitchers} count={more} today={today} />}
    </section>
  );
}

const threwText = (p: PitcherCard, today: string) => `${p.level}, ${p.lastDay ? `threw ${agoText(p.lastDay, today)}` : "no bullpen yet"}`;

/** Everybody who is not on the page already. */
function Others({ but, count, today }: { but: readonly PitcherCard[]; count: number; today: string }) {
  const [open, setOpen] = useState(false);
  const [all, setAll] = useState<readonly PitcherCard[]>();
  const [problem, setProblem] = useState("");
  useEffect(() => {
    if (!open) return;
    ask("get", "/api/pitchers").then(({ pitchers }) => {
      setAll(pitchers);
      setProblem("");
    }, (failure) => setProblem(sentenceOf(failure)));
  }, [open, count]);
  const shown = new Set(but.map((p) => p.id));
  return (
    <details class="depth" onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>{count === 1 ? "1 more pitcher" : `${count} more pitchers`}</summary>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <ul>
        {all?.filter((p) => !shown.has(p.id)).map((p) => (
          <li key={p.id}><Link to={to.pitcher(p.id)}>{p.label}</Link> <span class="quiet">{threwText(p, today)}</span></li>
        ))}
      </ul>
    </details>
  );
}
