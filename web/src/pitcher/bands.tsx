// Her bands: one per pitch, in the unit the instructor thinks in, and the same
// band in the other three as the server works it out.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Band, BandAnswer, BandUnit, Pitch, PitcherPage, PitchType } from "../api/types";
import { act } from "../shell/act";
import { capital } from "../bullpen/said";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { speedText } from "../words/speed";
import { pitchName } from "../words/workout";
import { AddBand } from "./add-band";
import { BandFields } from "./band-fields";
import { bandOf, sameBand, textOf, without } from "./band-text";

const tenths = (v: number) => String(Math.round(v * 10) / 10);

export function Bands({ page, types, onSaved }: { page: PitcherPage; types: PitchType[]; onSaved: () => void }) {
  const p = page.pitcher;
  const [added, setAdded] = useState<Pitch[]>([]);
  const has = (t: PitchType) => p.bands[t.code] || p.usualBands[t.code] || added.includes(t.code);
  const others = types.filter((t) => t.code !== p.baselinePitch);
  return (
    <section aria-labelledby="bands">
      <h2 id="bands">Bands</h2>
      <p class="quiet">How far under her {pitchName(types, p.baselinePitch)} a pitch should come: in the band from the first number to the second, soft beyond it, too soft from the third on. Where she has no band of her own she goes by <Link to={to.levels}>her level’s</Link>.</p>
      <div class="bands">
        {others.filter(has).map((t) => <BandEditor key={`${t.code} ${p.version}`} type={t} page={page} onSaved={onSaved} />)}
      </div>
      <AddBand types={others.filter((t) => !has(t))} onAdd={(pitch) => setAdded([...added, pitch])} />
    </section>
  );
}

function BandEditor({ type, page, onSaved }: { type: PitchType; page: PitcherPage; onSaved: () => void }) {
  const p = page.pitcher;
  const own = p.bands[type.code];
  const usual = p.usualBands[type.code];
  const start = own ?? usual;
  const [text, setText] = useState(() => textOf(start));
  const [under, setUnder] = useState<BandAnswer>();
  const band = bandOf(text);
  const problem = (band && under?.problem) || "";
  const same = under?.bands ?? [];
  useEffect(() => {
    if (!band) return;
    const gone = new AbortController();
    ask("post", "/api/bands", { body: { band, pitcherId: p.id }, signal: gone.signal }).then(setUnder, () => {});
    return () => gone.abort();
  }, [text, page]);

  const toUnit = (unit: BandUnit) => {
    // The server has already worked this band out in the other units.
    const there = band && same.find((b) => b.unit === unit);
    setText(there ? textOf(there) : { ...text, unit });
  };
  const save = async (bands: Partial<Record<Pitch, Band>>) => {
    if (await act(ask("patch", "/api/pitchers/{id}", { path: { id: p.id }, body: { version: p.version, bands: bands as Record<string, Band> } }), "Saved.")) onSaved();
  };
  return (
    <form class="card own-band" onSubmit={(e) => { e.preventDefault(); if (band) void save({ ...p.bands, [type.code]: band }); }}>
      <h3>{capital(type.name)}{own || !usual ? "" : " (default)"}</h3>
      <BandFields band={text} onChange={setText} onUnit={toUnit} />
      {problem && <p class="problem" role="alert">{problem}</p>}
      {band && under && same.length > 0 && (
        <div>
          <p class="quiet">Under a baseline of {speedText(under.baseline, p.unit)}{under.known ? "" : " (an example; she has no readings yet)"} this is the same as</p>
          <ul>{same.filter((b) => b.unit !== text.unit).map((b) => <li key={b.unit}><b>{tenths(b.lo)} to {tenths(b.hi)}</b>, too soft from {tenths(b.limit)} {b.unit}</li>)}</ul>
        </div>
      )}
      <div class="row">
        <button class="button primary" disabled={!band || sameBand(band, start) || problem !== ""}>Save</button>
        {own && <button type="button" class="button" onClick={() => void save(without(p.bands, type.code))}>{usual ? "Back to the default" : "Take this band away"}</button>}
      </div>
    </form>
  );
}
