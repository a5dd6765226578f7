// The rest of a rep: strike or ball, warm-up, drill, set, rep, note, gun.
import { useMemo, useRef } from "preact/hooks";
import type { GunPlace, Unit } from "../api/types";
import { gunPlaces, units } from "../intake/new-bullpen";
import { BurnHint } from "../parts/burn-hint";
import { TypedField } from "../parts/typed-field";
import { readCount } from "./core/entry";
import { acceptable, byHand } from "./core/found";
import type { Row } from "./core/ledger";
import { ClipButtons } from "./clips";
import { useOffice } from "./office";
import { RepBody } from "./rep-body";
import { hint } from "./hint";
import { useWatched } from "./watch";

const most = { set: 999, number: 9999 };

/** Whether the rest of a rep is open, and her four instants: it stays so from rep to rep. */
let restOpen = false;
let instantsOpen: boolean | undefined;

export function RepDetails({ row, typing }: { row: Row; typing: boolean }) {
  const office = useOffice();
  const { room } = office;
  const { rep } = row;
  // While the reading is typed a letter picks the pitch, and only that.
  const cap = (letter: string) => !typing && <kbd>{letter}</kbd>;
  return (
    <>
      <div class="row rep-calls">
        <button type="button" class="button" aria-pressed={rep.call === "strike"} title={hint("Strike", { do: "call", call: "strike" })} onClick={() => room.act({ do: "call", call: "strike" })}>Strike {cap("K")}</button>
        <button type="button" class="button" aria-pressed={rep.call === "ball"} title={hint("Ball", { do: "call", call: "ball" })} onClick={() => room.act({ do: "call", call: "ball" })}>Ball {cap("B")}</button>
        <button type="button" class="button" aria-pressed={rep.warmUp} title={hint("Warm-up: left out of every number but the load", { do: "warmUp" })} onClick={() => room.act({ do: "warmUp" })}>Warm-up {cap("W")}</button>
        <ClipButtons rep={rep} />
      </div>
      {office.film && <Instants row={row} />}
      <details class="rest" open={restOpen} onToggle={(event) => (restOpen = event.currentTarget.open)}>
        <summary>Drill, set, note, gun, delete</summary>
        <Rest row={row} />
      </details>
    </>
  );
}

/** Her four instants: open where something of them was to be done when the rep was chosen, until
    somebody opens or closes them. They don't close by themselves under her hand. */
function Instants({ row }: { row: Row }) {
  const office = useOffice();
  const undone = useWatched(office.changes, () => !office.sheet.body.marked || Object.keys(acceptable(row.rep)).length > 0 || byHand(row.rep).length > 0);
  const then = useMemo(() => undone, [row.key]);
  return (
    <details class="rest" open={instantsOpen ?? then}>
      <summary onClick={(event) => (instantsOpen = !event.currentTarget.closest("details")!.open)}>Her four instants</summary>
      <RepBody row={row} />
    </details>
  );
}

/** Opens the rest of the chosen rep at one of its fields. */
export function openRest(field: "drill" | "note"): void {
  const input = document.getElementById(`rep-${field}`);
  const rest = input?.closest("details");
  if (rest) rest.open = true;
  input?.focus();
}

function Rest({ row: { key, rep } }: { row: Row }) {
  const office = useOffice();
  const { room } = office;
  const drills = useWatched(office.changes, () => drillsOf(office.ledger.rows()));
  /** The rep as it was when one of its fields was entered. */
  const seen = useRef(rep);
  const count = (what: "set" | "number") => ({
    value: rep[what] ? String(rep[what]) : "",
    read: (text: string) => {
      const n = readCount(text, most[what]);
      return typeof n === "string" ? { problem: n } : n;
    },
    onCommit: (n: number) => room.edit(key, { [what]: n }, seen.current),
  });
  const text = (what: "drill" | "note") => ({
    value: rep[what],
    read: (typed: string) => typed.trim(),
    onCommit: (typed: string) => room.edit(key, { [what]: typed }, seen.current),
  });
  return (
    <div class="rep-details" key={key} onFocusIn={() => (seen.current = rep)} onKeyDown={backToPicture}>
      <div class="fields">
        <TypedField label={<>Drill <kbd>D</kbd></>} class="wide" id="rep-drill" list="drills" maxLength={80} placeholder="full pitch" below={(typed) => <BurnHint text={typed} />} {...text("drill")} />
        <datalist id="drills">{drills.map((drill) => <option key={drill} value={drill} />)}</datalist>
        <TypedField label="Set" keys="numeric" {...count("set")} />
        <TypedField label="Rep in set" keys="numeric" {...count("number")} />
      </div>
      <TypedField label={<>Note <kbd>T</kbd></>} id="rep-note" rows={2} maxLength={2000} {...text("note")} />
      {rep.reading && (
        <div class="fields">
          <label class="field wide">
            <span>Gun stood</span>
            <select class="input" value={rep.reading.gun} onChange={(event) => room.edit(key, { reading: { ...rep.reading!, gun: event.currentTarget.value as GunPlace } })}>
              {gunPlaces.map((gun) => <option key={gun}>{gun}</option>)}
            </select>
          </label>
          <label class="field">
            <span>Unit</span>
            <select class="input" value={rep.reading.unit} onChange={(event) => room.edit(key, { reading: { ...rep.reading!, unit: event.currentTarget.value as Unit } })}>
              {units.map((unit) => <option key={unit}>{unit}</option>)}
            </select>
          </label>
        </div>
      )}
      <div class="row">
        <button type="button" class="button" title={hint("Delete this rep", { do: "delete" })} onClick={() => room.act({ do: "delete" })}>Delete rep {rep.order} <kbd>Del</kbd></button>
      </div>
    </div>
  );
}

/** Enter takes a field's text and Escape drops it; both give the keyboard back to the picture. */
function backToPicture(event: KeyboardEvent): void {
  const field = event.target;
  if (!(field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement)) return;
  const enter = event.key === "Enter" && !event.shiftKey;
  if (!enter && event.key !== "Escape") return;
  event.preventDefault();
  document.querySelector<HTMLElement>(".stage")?.focus({ preventScroll: true });
}

function drillsOf(rows: readonly Row[]): string[] {
  return [...new Set(rows.map(({ rep }) => rep.drill).filter(Boolean))].sort();
}
