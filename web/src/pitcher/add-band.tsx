// A band for a pitch that has none yet.
import { useState } from "preact/hooks";
import type { Pitch, PitchType } from "../api/types";
import { capital } from "../bullpen/said";

export function AddBand({ types, onAdd }: { types: PitchType[]; onAdd: (pitch: Pitch) => void }) {
  const [pitch, setPitch] = useState<Pitch>();
  const chosen = types.find((t) => t.code === pitch) ?? types[0];
  if (!chosen) return null;
  return (
    <div class="row band-fields">
      <label class="field"><span>A band for another pitch</span>
        <select class="input" value={chosen.code} onChange={(e) => setPitch(e.currentTarget.value as Pitch)}>{types.map((t) => <option key={t.code} value={t.code}>{capital(t.name)}</option>)}</select>
      </label>
      <button type="button" class="button" onClick={() => onAdd(chosen.code)}>Add a band</button>
    </div>
  );
}
