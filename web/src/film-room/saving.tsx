// Whether everything is saved, and what to do when two windows disagree.
import type { GunPlace, Reading, Unit } from "../api/types";
import { Dialog } from "../parts/dialog";
import { fieldNames } from "./core/change";
import type { Clash } from "./core/ledger";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function SavingState() {
  const office = useOffice();
  const saving = useWatched(office.changes, () => office.ledger.saving);
  const many = useWatched(office.changes, () => office.ledger.unsaved);
  return (
    <>
      <div class={`saving-state ${saving.state}`} role="status">
        {saving.state === "saved" && <><Tick /> Saved</>}
        {saving.state === "saving" && "Saving …"}
        {saving.state === "clash" && "Not saved: two windows disagree"}
        {saving.state === "waiting" && (
          <>
            <span>Not saved yet ({many} {many === 1 ? "change" : "changes"}): {saving.problem} It is tried again by itself.</span>
            <button type="button" class="button" onClick={() => office.ledger.retry()}>Try now</button>
          </>
        )}
      </div>
      {saving.state === "clash" && <ClashDialog clash={saving.clash} />}
    </>
  );
}

function Tick() {
  return <svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true"><path d="M2 9l5 5 9-11" fill="none" stroke="currentColor" stroke-width="3" /></svg>;
}

function ClashDialog({ clash }: { clash: Clash }) {
  const office = useOffice();
  const choose = (side: "mine" | "theirs") => office.ledger.choose(side);
  const words = clash.removing
    ? { was: "when it was deleted", mine: "Delete it", theirs: "Keep the rep" }
    : { was: "here", mine: "Keep what is here", theirs: "Take the other window’s" };
  return (
    <Dialog title={`Rep ${clash.theirs.order} was changed in another window`} onClose={() => choose("theirs")}>
      {clash.removing && <p>It was to be deleted here, and was edited there.</p>}
      <table class="clash">
        <thead><tr><th scope="col"><span class="sr-only">What</span></th><th scope="col">{words.was}</th><th scope="col">in the other window</th></tr></thead>
        <tbody>
          {clash.fields.map((field) => (
            <tr key={field}><th scope="row">{fieldNames[field]}</th><td>{shown(clash.mine[field])}</td><td>{shown(clash.theirs[field])}</td></tr>
          ))}
        </tbody>
      </table>
      <footer>
        <button type="button" class="button" onClick={() => choose("theirs")}>{words.theirs}</button>
        <button type="button" class="button primary" data-first onClick={() => choose("mine")}>{words.mine}</button>
      </footer>
    </Dialog>
  );
}

function shown(value: string | number | boolean | Reading | null | undefined): string {
  if (value === null || value === undefined || value === "" || value === 0) return "none";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "object") return `${value.value} ${value.unit satisfies Unit} (gun ${value.gun satisfies GunPlace})`;
  return String(value);
}
