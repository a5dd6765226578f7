// What is still asked about readings when a reply is to be sent: they go to her as they
// stand unless they are settled first.
import { useOffice } from "./office";
import type { Row } from "./core/ledger";
import { questionsOf } from "../parts/sure";
import { askedText, settleText } from "../homework/said";

/** The reps whose reading she would see and nobody has settled; she is shown no warm-up. */
export function unsettled(rows: readonly Row[]): Row[] {
  return rows.filter(({ rep }) => !rep.warmUp && questionsOf(rep).length > 0);
}

/** Says so, with the way to the first of them, where it is settled. */
export function StillAsked({ rows }: { rows: readonly Row[] }) {
  const { room } = useOffice();
  const first = rows[0];
  if (!first) return null;
  const show = () => {
    room.choose(first.key);
    document.querySelector(".rep-panel")?.scrollIntoView({ block: "nearest" });
  };
  return (
    <div class="notice alarm still-asked" role="status">
      <p>{askedText(rows.map(({ rep }) => rep))} {settleText(rows.length)}</p>
      <div><button type="button" class="button" onClick={show}>To rep {first.rep.order}</button></div>
    </div>
  );
}
