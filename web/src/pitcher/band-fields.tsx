// The fields of one band: from, to, too soft from, and the unit.
import type { BandUnit } from "../api/types";
import { bandUnits, typed, type BandText, type Edge } from "./band-text";

const labels: [Edge, string][] = [["lo", "from"], ["hi", "to"], ["limit", "too soft from"]];

export function BandFields({ band, onChange, onUnit }: { band: BandText; onChange: (band: BandText) => void; onUnit: (unit: BandUnit) => void }) {
  return (
    <div class="row band-fields">
      {labels.map(([edge, label]) => (
        <label key={edge} class="field short"><span>{label}</span><input class="input" inputMode="decimal" value={band[edge].text} onInput={(e) => onChange(typed(band, edge, e.currentTarget.value))} /></label>
      ))}
      <label class="field"><span>in</span><select class="input" value={band.unit} onChange={(e) => onUnit(e.currentTarget.value as BandUnit)}>{bandUnits.map((u) => <option key={u}>{u}</option>)}</select></label>
    </div>
  );
}
