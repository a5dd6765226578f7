// Homework on the first page: what needs the instructor, with the child's own words, and
// the rest behind a touch.
import type { HomeworkCard } from "../api/types";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { HerWords } from "./her-words";
import { homeworkFacts } from "./said";
import { StateMark } from "./state";

/** One homework that something came of. caution stands beside words about pain; first is what is to be done next. */
export function InboxItem({ card: h, caution, first = false }: { card: HomeworkCard; caution: string; first?: boolean }) {
  return (
    <li class={`card item homework-card${h.state === "new" ? " needs-you" : ""}${h.sore ? " sore" : ""}`}>
      <StateMark state={h.state} />
      <h3><Link to={to.homework(h.id)}>{h.pitcherLabel}: {h.title}</Link></h3>
      {(h.note || h.earlier) && <HerWords note={h.note ?? ""} earlier={h.earlier} sore={h.sore} caution={caution} />}
      <p class="quiet">{homeworkFacts(h)}</p>
      <div class="row">
        <Link class={`button${first ? " primary" : ""}`} to={to.homework(h.id)} aria-label={`Answer ${h.pitcherLabel}: ${h.title}`}>Answer {h.pitcherLabel}</Link>
        {h.films > 0 && <Link to={to.filmRoom(h.bullpenId)} aria-label={`Film room of ${h.pitcherLabel}: ${h.title}`}>Film room</Link>}
      </div>
    </li>
  );
}

/** Homework that needs nobody just now, a line each. */
export function QuietHomework({ cards }: { cards: readonly HomeworkCard[] }) {
  if (cards.length === 0) return null;
  return (
    <details class="quiet-homework">
      <summary>Homework handed out or answered ({cards.length})</summary>
      <ul>
        {cards.map((h) => (
          <li key={h.id}>
            <StateMark state={h.state} /> <Link to={to.homework(h.id)}>{h.pitcherLabel}: {h.title}</Link> <span class="quiet">{homeworkFacts(h)}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}
