// What a pitcher is set to: level, distance, extension, ball, baseline, gun.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { GunPlace, Level, Pitch, PitcherPage, PitchType, Unit } from "../api/types";
import { act } from "../shell/act";
import { BurnHint } from "../parts/burn-hint";
import { Removal } from "../parts/removal";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { gunPlaces } from "../intake/new-bullpen";
import { BallField } from "./ball-field";
import { languages, saidIn, type Language } from "../said/say";
import { numberOf } from "../words/number";

const policies = { mean: "her own at that point of the bullpen", hardest: "her hardest: it rises with how many she throws", last: "the last one before the rep: a single reading", typed: "a typed speed" } as const;
type Policy = keyof typeof policies;

export function PitcherSettings({ page, types, onSaved }: { page: PitcherPage; types: PitchType[]; onSaved: () => void }) {
  const p = page.pitcher;
  return (
    <section aria-labelledby="settings">
      <h2 id="settings">Settings</h2>
      <SettingsForm key={p.version} page={page} types={types} onSaved={onSaved} />
    </section>
  );
}

function SettingsForm({ page, types, onSaved }: { page: PitcherPage; types: PitchType[]; onSaved: () => void }) {
  const p = page.pitcher;
  const [levels, setLevels] = useState<Level[]>([]);
  const [label, setLabel] = useState(p.label);
  const [hand, setHand] = useState(p.hand);
  const [level, setLevel] = useState(p.level);
  const [distance, setDistance] = useState(String(p.distanceFeet));
  const [extension, setExtension] = useState(p.extensionFeet === undefined ? "" : String(p.extensionFeet));
  const [usual, setUsual] = useState(p.usualExtensionFeet);
  const [ball, setBall] = useState(p.ballKind);
  const [baselinePitch, setBaselinePitch] = useState<Pitch>(p.baselinePitch);
  const [policy, setPolicy] = useState<Policy>(p.policy);
  const [typed, setTyped] = useState(p.typedBaseline ? String(Math.round(p.typedBaseline.mph * 10) / 10) : "");
  const [typedGun, setTypedGun] = useState<GunPlace | "">(p.typedGun ?? "");
  const [typedWithin, setTypedWithin] = useState(p.typedWithin ? String(Math.round(p.typedWithin.mph * 10) / 10) : "");
  const [tolerance, setTolerance] = useState(String(p.gunTolerance.mph));
  const [unit, setUnit] = useState<Unit>(p.unit);
  const [language, setLanguage] = useState(p.language);
  const [sure, setSure] = useState(false);
  const asked = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (location.hash !== "#distance") return;
    asked.current?.select();
    history.replaceState(null, "", location.pathname); // asked for once
  }, []);
  useEffect(() => {
    ask("get", "/api/levels").then((all) => setLevels(all.levels), () => {});
  }, []);
  const takeLevel = (key: string) => {
    setLevel(key);
    const l = levels.find((one) => one.key === key);
    if (!l) return;
    setDistance(String(l.distanceFeet));
    setUsual(l.extensionFeet);
    setBall(l.ballKind);
  };
  const save = async (event: Event) => {
    event.preventDefault();
    const body = {
      version: p.version, label, hand, level, distanceFeet: numberOf(distance), extensionFeet: extension.trim() === "" ? null : numberOf(extension), ballKind: ball,
      baselinePitch, policy, unit, language, gunToleranceMph: numberOf(tolerance),
      ...(policy === "typed" ? { typedBaselineMph: numberOf(typed), typedGun: typedGun || null, typedWithinMph: typedWithin.trim() === "" ? null : numberOf(typedWithin) } : {}),
    };
    if (await act(ask("patch", "/api/pitchers/{id}", { path: { id: p.id }, body }), "Saved.")) onSaved();
  };
  const gone = () => {
    say(`${p.label} and all that was hers is gone.`);
    navigate(to.home);
  };
  return (
    <form class="card stack" onSubmit={(e) => void save(e)}>
      <div class="filters">
        <label class="field"><span>Nickname or initials</span><input class="input" value={label} maxLength={60} required onInput={(e) => setLabel(e.currentTarget.value)} /><BurnHint text={label} /></label>
        <label class="field"><span>Throws</span><select class="input" value={hand} onChange={(e) => setHand(e.currentTarget.value as "right" | "left")}><option>right</option><option>left</option></select></label>
        <label class="field"><span>Level</span><select class="input" value={level} onChange={(e) => takeLevel(e.currentTarget.value)}>{levels.length === 0 ? <option>{level}</option> : levels.map((l) => <option key={l.key} value={l.key}>{l.name}</option>)}</select></label>
        <label class="field"><span>Pitching distance (ft)</span><input class="input" ref={asked} inputMode="decimal" value={distance} onInput={(e) => setDistance(e.currentTarget.value)} /></label>
        <label class="field"><span>Releases in front of the rubber (ft)</span><input class="input" inputMode="decimal" pattern="[0-9]*[.,]?[0-9]*" title="A number of feet; empty: as her level" value={extension} placeholder={`${usual}, as her level`} onInput={(e) => setExtension(e.currentTarget.value)} /></label>
        <BallField ball={ball} onChange={setBall} />
        <label class="field"><span>Gaps are counted from her</span><select class="input" value={baselinePitch} onChange={(e) => setBaselinePitch(e.currentTarget.value as Pitch)}>{types.map((t) => <option key={t.code} value={t.code}>{t.name}</option>)}</select></label>
        <label class="field wide"><span>Which is</span><select class="input" value={policy} onChange={(e) => setPolicy(e.currentTarget.value as Policy)}>{(Object.keys(policies) as Policy[]).map((k) => <option key={k} value={k}>{policies[k]}</option>)}</select></label>
        {policy === "typed" && <label class="field"><span>Typed speed (mph)</span><input class="input" inputMode="decimal" required value={typed} onInput={(e) => setTyped(e.currentTarget.value)} /></label>}
        {policy === "typed" && <label class="field"><span>Read from</span><select class="input" value={typedGun} onChange={(e) => setTypedGun(e.currentTarget.value as GunPlace | "")}><option value="">any place</option>{gunPlaces.map((g) => <option key={g}>{g}</option>)}</select></label>}
        {policy === "typed" && <label class="field"><span>Known to ± (mph)</span><input class="input" inputMode="decimal" value={typedWithin} placeholder="1" onInput={(e) => setTypedWithin(e.currentTarget.value)} /></label>}
        <label class="field"><span>The gun is right to ± (mph)</span><input class="input" inputMode="decimal" value={tolerance} onInput={(e) => setTolerance(e.currentTarget.value)} /></label>
        <label class="field"><span>Show speeds in</span><select class="input" value={unit} onChange={(e) => setUnit(e.currentTarget.value as Unit)}><option>mph</option><option>km/h</option></select></label>
        <label class="field"><span>Her captions, links and reports are in</span><select class="input" value={language} onChange={(e) => setLanguage(e.currentTarget.value as Language)}>{languages.map((l) => <option key={l} value={l}>{saidIn(l).say("language")}</option>)}</select></label>
      </div>
      <div class="row">
        <button class="button primary">Save</button>
        <Link class="button" to={to.levels}>Change the levels</Link>
        <button type="button" class="button" onClick={() => setSure(true)}>Delete this pitcher …</button>
      </div>
      {sure && <Removal what="pitcher" id={p.id} name={p.label} onGone={gone} onClose={() => setSure(false)} />}
    </form>
  );
}
