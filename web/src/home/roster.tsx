// The pitchers: each with her last target in small, the line of her weeks, and what is due.
import type { RosterCard } from "../api/types";
import { SmallTarget, WeeksLine } from "../pictures/small-target";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { agoText, dueText } from "./said";

export function Roster({ pitchers, today }: { pitchers: readonly RosterCard[]; today: string }) {
  if (pitchers.length === 0) return null;
  return (
    <section aria-labelledby="pitchers">
      <h2 id="pitchers">Pitchers</h2>
      <ul class="cards roster">
        {pitchers.map((p) => (
          <li key={p.id} class="card item">
            <h3><Link to={to.pitcher(p.id)}>{p.label}</Link></h3>
            <p class="quiet">{p.level}, {p.lastDay ? `threw ${agoText(p.lastDay, today)}` : "no bullpen yet"}</p>
            {p.target && <SmallTarget target={p.target} />}
            {p.target && <WeeksLine weeks={p.weeks} target={p.target} />}
            {p.due && <p class={p.due < today ? "due late" : "due"}>{dueText(p.due, today)}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}
