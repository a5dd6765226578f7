// A bullpen as a card: a still at release, or its target where there is no film, and what
// it tells in one line. On her own page it need not name her.
import type { BullpenCard } from "../api/types";
import { SmallTarget } from "./small-target";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { dayText, shortDayText } from "../words/speed";

/** near is a day whose year need not be said. */
export function BullpenItem({ card: b, near, named = true }: { card: BullpenCard; near: string; named?: boolean }) {
  const day = shortDayText(b.day, near);
  return (
    <li class="card bullpen-card">
      <div class="face">
        {b.stillRep
          ? <img src={`/api/reps/${encodeURIComponent(b.stillRep)}/still.jpg`} width={480} height={320} loading="lazy" alt={`${b.pitcherLabel} at release`} />
          : b.target ? <SmallTarget target={b.target} /> : <p class="quiet">{b.films === 0 ? "no film" : b.reading > 0 ? "being read" : "no rep on film yet"}</p>}
      </div>
      <div class="item">
        <h3><Link to={to.bullpen(b.id)}>{named ? `${b.pitcherLabel}, ${day}` : day}</Link></h3>
        {b.headline ? <p class="tells">{b.headline}</p> : <p class="quiet">{b.counting ? "being worked out …" : factsOf(b)}</p>}
        {b.films > 0 && <Link to={to.filmRoom(b.id)} aria-label={`Film room of ${b.pitcherLabel}, ${dayText(b.day)}`}>Film room</Link>}
      </div>
    </li>
  );
}

/** What there is, where nothing can be said yet. */
export function factsOf(b: Pick<BullpenCard, "title" | "reps" | "readings" | "films">): string {
  return [
    b.title,
    `${b.reps} ${b.reps === 1 ? "rep" : "reps"}`,
    b.readings < b.reps ? `${b.readings} with a reading` : "",
    b.films === 0 ? "no film" : "",
  ].filter(Boolean).join(", ");
}
