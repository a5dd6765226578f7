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

/** Asks about them, once where one question is about several; linked to where they can be changed, but on paper. */
export function Doubted({ sheet, reps, unit, onPaper = false }: { sheet: Sheet; reps: readonly Rep[]; unit: Unit; onPaper?: boolean }) {
  if (reps.length === 0) return null;
  const name = (r: Rep) => <>{onPaper ? `Rep ${r.order}` : <Link to={to.filmRoom(sheet.bullpen.id, r.id)}>Rep {r.order}</Link>}, {r.judged.speed && speedText(r.judged.speed, unit)}</>;
  return (
    <div class="notice">
      {bySentence(reps).map(([sentence, asked]) => (
        <p key={sentence}>
          {asked.map((r, i) => <span key={r.id}>{i > 0 && "; "}{name(r)}</span>)}{counted(asked)} {sentence}
        </p>
      ))}
    </div>
  );
}

/** What is done with them. */
function counted(asked: readonly Rep[]): string {
  return asked.length > 1 ? ": they may be slips, and are left out here until they are settled." : ", may be a slip, and is left out here until it is settled.";
}

/** The reps under what is asked of them, in their order. */
function bySentence(reps: readonly Rep[]): [string, Rep[]][] {
  const asked = new Map<string, Rep[]>();
  for (const r of reps) {
    const sentence = questionsOf(r).join(" ");
    asked.set(sentence, [...(asked.get(sentence) ?? []), r]);
  }
  return [...asked];
}
