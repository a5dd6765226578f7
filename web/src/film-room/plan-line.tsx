// Where the chosen rep lies along the workout; one key when one was left out or
// thrown again, and everything after it moves along.
import { pitchName } from "../words/workout";
import { useHomework } from "../homework/screen";
import type { Row } from "./core/ledger";
import { edit } from "./core/change";
import { useOffice } from "./office";
import { placeText, shiftText } from "./planned";
import { hint } from "./hint";
import { useWatched } from "./watch";

export function PlanLine({ row }: { row: Row | undefined }) {
  const office = useOffice();
  const plan = useWatched(office.changes, () => office.sheet.plan);
  const { homework } = useHomework(plan?.homeworkId);
  if (!plan) return null;
  const along = row && plan.reps.find((l) => l.repId === row.rep.id);
  const place = plan.places[along ? along.place : row ? -1 : plan.next];
  const name = (code: string) => pitchName(office.pitchTypes, code);
  const typed = along && homework?.student.readings.find((r) => r.place === along.place);
  const open = homework?.student.readings.filter((r) => {
    const at = plan.reps.find((l) => l.place === r.place);
    const rep = at && office.ledger.rows().find((one) => one.rep.id === at.repId)?.rep;
    return rep && !rep.reading;
  });
  const take = () => {
    const changes = (open ?? []).flatMap((r) => {
      const at = plan.reps.find((l) => l.place === r.place);
      const of = at && office.ledger.rows().find((one) => one.rep.id === at.repId);
      const change = of && edit(of.key, of.rep, { reading: { value: r.value, unit: r.unit, step: Number.isInteger(r.value) ? 1 : 0.1, gun: (homework?.student.gun || office.gun.place) as never } });
      return change ? [change] : [];
    });
    office.ledger.make(...changes);
  };
  return (
    <div class="plan-line">
      <p>
        {!row && place && <>Next on the workout: <b>{placeText(plan.places, place, name)}</b></>}
        {row && place && <><b>{placeText(plan.places, place, name)}</b>{along && along.shift !== 0 && <span class="shifted"> {shiftText(along.shift)}</span>}</>}
        {row && !place && "Not on the workout."}
        {typed && <> She typed {typed.value} {typed.unit}.</>}
      </p>
      <div class="row">
        {along && (
          <>
            <button type="button" class="button" title={hint("One was left out before this rep", { do: "shift", by: 1 })} onClick={() => office.room.act({ do: "shift", by: 1 })}>One left out before <kbd>.</kbd></button>
            <button type="button" class="button" title={hint("This rep repeats the one before", { do: "shift", by: -1 })} onClick={() => office.room.act({ do: "shift", by: -1 })}>Repeats the one before <kbd>,</kbd></button>
          </>
        )}
        {open && open.length > 0 && <button type="button" class="button" onClick={take}>Take her {open.length} typed {open.length === 1 ? "reading" : "readings"}</button>}
      </div>
    </div>
  );
}
