// The ledger: every rep in the order thrown.
import { memo } from "./memo";
import { useLayoutEffect, useRef } from "preact/hooks";
import type { Unit } from "../api/types";
import { FilmSpeedAside } from "../parts/film-speed";
import { askedOf } from "../parts/sure";
import { SureMark } from "../parts/sure-mark";
import { Judgement } from "../parts/verdict";
import { inSetText } from "../words/place";
import { gapText } from "../words/speed";
import type { Row } from "./core/ledger";
import { shiftText } from "./planned";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function LedgerTable() {
  const office = useOffice();
  const { room, changes, ledger } = office;
  const rows = useWatched(changes, () => ledger.rows());
  const asked = useWatched(changes, () => ledger.rows().map(({ rep }) => askedOf(rep)));
  const chosen = useWatched(changes, () => room.state.chosen);
  const plan = useWatched(changes, () => office.sheet.plan);
  const shifts = new Map(plan?.reps.map((l) => [l.repId, l.shift]));
  const place = useRef<HTMLDivElement>(null);
  const unit = office.sheet.pitcher.unit;
  useLayoutEffect(() => {
    const row = place.current?.querySelector<HTMLElement>("tr.chosen");
    if (row && place.current) bringIntoSight(place.current, row);
  }, [chosen, rows.length]);
  if (rows.length === 0) return null;
  return (
    <div class="ledger" ref={place} tabIndex={0} role="region" aria-label="Ledger">
      <table>
        <caption class="sr-only">Every rep in the order thrown; gaps in {unit}</caption>
        <thead>
          <tr>
            <th scope="col"><span class="sr-only">Rep</span><span aria-hidden="true">#</span></th>
            <th scope="col">Pitch</th>
            <th scope="col" class="figure">Read</th>
            <th scope="col" class="figure">Gap</th>
            <th scope="col">Verdict</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row, i) => <LedgerRow key={row.key} row={row} asked={asked[i] ?? ""} chosen={row.key === chosen} unit={unit} shift={shifts.get(row.rep.id) ?? 0} choose={choose} />)}
        </tbody>
      </table>
    </div>
  );
  function choose(key: string) {
    room.choose(key);
  }
}

/** Scrolls the ledger, and nothing around it, just far enough to show a row. */
function bringIntoSight(box: HTMLElement, row: HTMLElement): void {
  const head = box.querySelector("thead")?.offsetHeight ?? 0;
  if (row.offsetTop - head < box.scrollTop) box.scrollTop = row.offsetTop - head;
  else box.scrollTop = Math.max(box.scrollTop, row.offsetTop + row.offsetHeight - box.clientHeight);
}

interface RowProps {
  row: Row;
  /** What is asked of its reading. */
  asked: string;
  chosen: boolean;
  unit: Unit;
  /** How it was moved along a workout. */
  shift: number;
  choose: (key: string) => void;
}

const LedgerRow = memo(
  ({ row: { key, rep, unsaved }, asked, chosen, unit, shift, choose }: RowProps) => {
    const asides = [
      rep.warmUp && "warm-up",
      rep.drill,
      inSetText(rep.set, rep.number),
      shiftText(shift),
      rep.call,
      rep.note && "note",
    ].filter(Boolean);
    return (
      <tr class={chosen ? "chosen" : ""} onClick={() => choose(key)}>
        <th scope="row">
          <button type="button" class="order" aria-pressed={chosen} aria-label={`Rep ${rep.order}`} onClick={(event) => { event.stopPropagation(); choose(key); }}>{rep.order}</button>
        </th>
        <td>
          {rep.pitchName || "new"}
          {asides.length > 0 && <span class="aside">{asides.join(", ")}</span>}
        </td>
        <td class="figure"><b>{rep.reading?.value ?? ""}</b>{rep.reading && rep.reading.unit !== unit && <span class="aside">{rep.reading.unit}</span>}<SureMark asked={asked} /><FilmSpeedAside said={rep.filmSpeed} unit={rep.reading?.unit ?? unit} asked={asked} /></td>
        <td class="figure">{rep.judged.gap ? gapText(rep.judged.gap, unit, false, rep.judged.onEdge) : ""}</td>
        <td class="said">{unsaved ? <span class="quiet">saving</span> : rep.judged.verdict !== "" ? <Judgement judged={rep.judged} /> : null}{rep.body?.short && <span class={`aside${rep.body.verdict ? " slowed" : ""}`}>{rep.body.short}</span>}</td>
      </tr>
    );
  },
  (a, b) => a.asked === b.asked && a.chosen === b.chosen && a.unit === b.unit && a.shift === b.shift && a.row.unsaved === b.row.unsaved && a.row.rep.order === b.row.rep.order && JSON.stringify(a.row.rep) === JSON.stringify(b.row.rep),
);
