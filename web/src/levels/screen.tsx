// The levels: how far, which ball, and the bands a pitcher goes by who has none of
// her own.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Band, Level, Pitch, PitchType } from "../api/types";
import { usePitchTypes } from "../api/use-pitch-types";
import { act } from "../shell/act";
import { capital } from "../bullpen/said";
import { AddBand } from "../pitcher/add-band";
import { BallField } from "../pitcher/ball-field";
import { BandFields } from "../pitcher/band-fields";
import { bandOf, textOf, without, type BandText } from "../pitcher/band-text";
import { numberOf } from "../words/number";
import { levelText } from "./said";

export function LevelsScreen() {
  const { levels, problem, refresh } = useLevels();
  const types = usePitchTypes();
  useEffect(() => void (document.title = "Levels, tenoff"), []);
  return (
    <>
      <header class="heading">
        <h1>Levels</h1>
        <p>Leagues differ, so everything here can be changed. Distance, release and ball are taken over when a pitcher is put on a level; a level’s bands hold at once for every pitcher on it who has none of her own.</p>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <div class="levels">
        {levels.map((l) => (
          <details key={l.key} class="card level">
            <summary><b>{capital(l.name)}</b> <span class="quiet">{levelText(l, types)}</span></summary>
            {types.length > 0 && <LevelForm key={l.version} level={l} types={types} onSaved={refresh} />}
          </details>
        ))}
      </div>
    </>
  );
}

function useLevels() {
  const [levels, setLevels] = useState<Level[]>([]);
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    ask("get", "/api/levels").then((all) => {
      setLevels(all.levels);
      setProblem("");
    }, (failure) => setProblem(sentenceOf(failure)));
  }, []);
  useEffect(refresh, [refresh]);
  return { levels, problem, refresh };
}

function LevelForm({ level: l, types, onSaved }: { level: Level; types: PitchType[]; onSaved: () => void }) {
  const [name, setName] = useState(l.name);
  const [distance, setDistance] = useState(String(l.distanceFeet));
  const [extension, setExtension] = useState(String(l.extensionFeet));
  const [ball, setBall] = useState(l.ballKind);
  const [bands, setBands] = useState<Partial<Record<Pitch, BandText>>>(() => Object.fromEntries(Object.entries(l.bands).map(([pitch, band]) => [pitch, textOf(band)])));
  const set = (pitch: Pitch, band: BandText) => setBands({ ...bands, [pitch]: band });
  const has = types.filter((t) => bands[t.code]);
  const whole = has.every((t) => bandOf(bands[t.code]!));
  const save = async (event: Event) => {
    event.preventDefault();
    const typed = Object.fromEntries(has.map((t) => [t.code, bandOf(bands[t.code]!)])) as Record<string, Band>;
    const body = { version: l.version, name, distanceFeet: numberOf(distance), extensionFeet: numberOf(extension), ballKind: ball, bands: typed };
    if (await act(ask("patch", "/api/levels/{key}", { path: { key: l.key }, body }), `${capital(name)} is saved.`)) onSaved();
  };
  return (
    <form class="stack" onSubmit={(e) => void save(e)}>
      <div class="filters">
        <label class="field"><span>Name</span><input class="input" value={name} maxLength={60} required onInput={(e) => setName(e.currentTarget.value)} /></label>
        <label class="field"><span>Pitching distance (ft)</span><input class="input" inputMode="decimal" required value={distance} onInput={(e) => setDistance(e.currentTarget.value)} /></label>
        <label class="field"><span>Releases in front of the rubber (ft)</span><input class="input" inputMode="decimal" required value={extension} onInput={(e) => setExtension(e.currentTarget.value)} /></label>
        <BallField ball={ball} onChange={setBall} />
      </div>
      {has.map((t) => (
        <fieldset key={t.code} class="level-band">
          <legend>{capital(t.name)}</legend>
          <BandFields band={bands[t.code]!} onChange={(band) => set(t.code, band)} onUnit={(unit) => set(t.code, { ...bands[t.code]!, unit })} />
          <button type="button" class="button" onClick={() => setBands(without(bands, t.code))}>{t.band ? "Back to the default" : "Take this band away"}</button>
        </fieldset>
      ))}
      <AddBand types={usualFirst(types.filter((t) => !bands[t.code]))} onAdd={(pitch) => set(pitch, textOf(types.find((t) => t.code === pitch)?.band))} />
      <div class="row"><button class="button primary" disabled={!whole}>Save</button></div>
    </form>
  );
}

/** Pitches that are meant to be slower come first. */
function usualFirst(types: PitchType[]): PitchType[] {
  return [...types.filter((t) => t.band), ...types.filter((t) => !t.band)];
}

