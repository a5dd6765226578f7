// Whom nobody has entered yet: a nickname, and the level that her distance, extension
// and ball go with.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Level } from "../api/types";
import { BurnHint } from "./burn-hint";

export interface NewPitcher {
  label: string;
  level: string;
}

/** Before anything is typed; the level is the one offered first. */
export const nobodyYet: NewPitcher = { label: "", level: "14U" };

export function NewPitcherFields({ her, required = false, onChange }: { her: NewPitcher; required?: boolean; onChange: (her: NewPitcher) => void }) {
  const [levels, setLevels] = useState<Level[]>([]);
  const [problem, setProblem] = useState("");
  useEffect(() => {
    ask("get", "/api/levels").then((all) => setLevels(all.levels), (failure) => setProblem(sentenceOf(failure)));
  }, []);
  return (
    <>
      <label class="field">
        <span>New pitcher’s nickname or initials (no full name needed)</span>
        <input class="input" data-first required={required} value={her.label} maxLength={60} autocomplete="off" onInput={(e) => onChange({ ...her, label: e.currentTarget.value })} />
        <BurnHint text={her.label} />
      </label>
      <label class="field">
        <span>Her level (distance and ball go with it; her page has them to change)</span>
        <select class="input" value={her.level} onChange={(e) => onChange({ ...her, level: e.currentTarget.value })}>
          {levels.map((l) => <option key={l.key} value={l.key}>{l.name}: {l.distanceFeet} ft</option>)}
        </select>
      </label>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
    </>
  );
}
