// Readings that something speaks against, beside the answer that they count in.
import type { Rep, Sheet, Summary, Unit } from "../api/types";
import { questionsOf } from "../parts/sure";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { sameDrill } from "../words/drill";
import { speedText } from "../words/speed";

/** The reps of one pitch, drill and gun place whose reading is doubted. */
export function doubtedIn(sheet: Sheet, s: Summary): Rep[] {
  return sheet.reps.filter((r) => r.pitch === s.pitch && sameDrill(r.drill, s.drill) && r.reading?.gun === s.gun && !r.warmUp && questionsOf(r).length > 0);
}

/** Asks about them; linked to where they can be changed, but on paper. */
export function Doubted({ sheet, reps, unit, onPaper = false }: { sheet: Sheet; reps: readonly Rep[]; unit: Unit; onPaper?: boolean }) {
  if (reps.length === 0) return null;
  return (
    <div class="notice">
      {reps.map((r) => (
        <p key={r.id}>
          {onPaper ? `Rep ${r.order}` : <Link to={to.filmRoom(sheet.bullpen.id, r.id)}>Rep {r.order}</Link>}, {r.judged.speed && speedText(r.judged.speed, unit)}, may be a slip, and counts here as it stands. {questionsOf(r).join(" ")}
        </p>
      ))}
    </div>
  );
}
