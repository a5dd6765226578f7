// What holds for a whole bullpen: its day, title, gun and note; and taking it away.
import { useState } from "preact/hooks";
import { ask } from "../api/client";
import type { GunPlace, Sheet, Unit } from "../api/types";
import { gunPlaces } from "../intake/new-bullpen";
import { Dialog } from "../parts/dialog";
import { Removal } from "../parts/removal";
import { act } from "../shell/act";
import { navigate } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText } from "../words/speed";

export function BullpenSettings({ sheet, onClose, onSaved }: { sheet: Sheet; onClose: () => void; onSaved: () => void }) {
  const b = sheet.bullpen;
  const [day, setDay] = useState(b.day);
  const [title, setTitle] = useState(b.title);
  const [gun, setGun] = useState<GunPlace>(b.gun);
  const [gunName, setGunName] = useState(b.gunName);
  const [unit, setUnit] = useState<Unit>(b.unit);
  const [step, setStep] = useState(b.step);
  const [note, setNote] = useState(b.note);
  const [sure, setSure] = useState(false);
  const save = async (event: Event) => {
    event.preventDefault();
    const body = { version: b.version, day, title, gun, gunName, unit, step, note };
    if (await act(ask("patch", "/api/bullpens/{id}", { path: { id: b.id }, body }), "Saved.")) {
      onSaved();
      onClose();
    }
  };
  const gone = () => {
    say("The bullpen is gone.");
    navigate(to.home);
  };
  if (sure) return <Removal what="bullpen" id={b.id} name={`the bullpen of ${dayText(b.day)}`} onGone={gone} onClose={onClose} />;
  return (
    <Dialog title="Bullpen settings" onClose={onClose}>
      <form onSubmit={(e) => void save(e)} class="stack">
        <label class="field"><span>Day</span><input class="input" type="date" value={day} data-first onInput={(e) => setDay(e.currentTarget.value)} /></label>
        <label class="field"><span>Title</span><input class="input" value={title} maxLength={120} onInput={(e) => setTitle(e.currentTarget.value)} /></label>
        <label class="field"><span>The gun stands (new readings)</span>
          <select class="input" value={gun} onChange={(e) => setGun(e.currentTarget.value as GunPlace)}>{gunPlaces.map((g) => <option key={g}>{g}</option>)}</select>
        </label>
        <label class="field"><span>Which gun, if you have several</span><input class="input" value={gunName} maxLength={60} onInput={(e) => setGunName(e.currentTarget.value)} /></label>
        <label class="field"><span>The gun shows (new readings)</span>
          <select class="input" value={unit} onChange={(e) => setUnit(e.currentTarget.value as Unit)}><option>mph</option><option>km/h</option></select>
        </label>
        <label class="field"><span>In steps of</span>
          <select class="input" value={String(step)} onChange={(e) => setStep(Number(e.currentTarget.value))}><option value="1">whole numbers</option><option value="0.1">tenths</option></select>
        </label>
        <label class="field"><span>Note for the report</span><textarea class="input" rows={3} maxLength={4000} value={note} onInput={(e) => setNote(e.currentTarget.value)} /></label>
        <footer>
          <button type="button" class="button" onClick={() => setSure(true)}>Delete this bullpen …</button>
          <button class="button primary">Save</button>
        </footer>
      </form>
    </Dialog>
  );
}
