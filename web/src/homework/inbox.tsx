// Homework on the first page, what needs the instructor first.
import type { HomeworkCard } from "../api/types";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { HerWords } from "./her-words";
import { homeworkFacts } from "./said";
import { StateMark } from "./state";

export function Inbox({ cards }: { cards: readonly HomeworkCard[] }) {
  if (cards.length === 0) return null;
  return (
    <section aria-labelledby="inbox">
      <h2 id="inbox">Homework</h2>
      <ul class="cards">
        {cards.map((h) => (
          <li key={h.id} class={`card item homework-card${h.state === "new" ? " needs-you" : ""}`}>
            <StateMark state={h.state} />
            <h3><Link to={to.homework(h.id)}>{h.pitcherLabel}: {h.title}</Link></h3>
            {h.note && <HerWords note={h.note} sore={h.sore} />}
            <p class="quiet">{homeworkFacts(h)}</p>
            {h.films > 0 && <Link to={to.filmRoom(h.bullpenId)} aria-label={`Film room of ${h.pitcherLabel}: ${h.title}`}>Film room</Link>}
          </li>
        ))}
      </ul>
    </section>
  );
}
