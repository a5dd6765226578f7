// Her bands: one per pitch, in the unit the instructor thinks in, and the same
// band in the other three as the server works it out.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Band, BandAnswer, BandUnit, Pitch, PitcherPage, PitchType } from "../api/types";
import { act } from "../bullpen/screen";
import { capital } from "../bullpen/said";
import { speedText } from "../words/speed";

const units: BandUnit[] = ["mph", "km/h", "% of fastball", "ms at plate"];

export function Bands({ page, types, onSaved }: { page: PitcherPage; types: PitchType[]; onSaved: () => void }) {
  return (
    <section aria-labelledby="bands">
      <h2 id="bands">Bands</h2>
      <p class="quiet">How far under her {types.find((t) => t.code === page.pitcher.baselinePitch)?.name ?? "fastball"} a pitch should come: in the band from the first number to the second, soft beyond it, too soft from the third on.</p>
      <div class="findings">
        {types.filter((t) => t.band).map((t) => <BandEditor key={`${t.code} ${page.pitcher.version}`} type={t} page={page} onSaved={onSaved} />)}
      </div>
    </section>
  );
}

const shown = (v: number) => String(Math.round(v * 10) / 10);
const number = (text: string) => Number(text.replace(",", "."));

function BandEditor({ type, page, onSaved }: { type: PitchType; page: PitcherPage; onSaved: () => void }) {
  const p = page.pitcher;
  const own = p.bands[type.code];
  const start = own ?? type.band!;
  const [unit, setUnit] = useState<BandUnit>(start.unit);
  const [lo, setLo] = useState(shown(start.lo));
  const [hi, setHi] = useState(shown(start.hi));
  const [limit, setLimit] = useState(shown(start.limit));
  const [same, setSame] = useState<Band[]>([]);
  const [under, setUnder] = useState<BandAnswer>();
  const [problem, setProblem] = useState("");
  const changed = unit !== start.unit || lo !== shown(start.lo) || hi !== shown(start.hi) || limit !== shown(start.limit);
  const band = { unit, lo: number(lo), hi: number(hi), limit: number(limit) };
  const whole = [band.lo, band.hi, band.limit].every(Number.isFinite);
  useEffect(() => {
    if (!whole) return;
    const gone = new AbortController();
    ask("post", "/api/bands", { body: { band, pitcherId: p.id }, signal: gone.signal }).then((r) => {
      setSame(r.bands);
      setUnder(r);
      setProblem(r.problem ?? "");
    }, () => {});
    return () => gone.abort();
  }, [unit, lo, hi, limit, page]);

  const toUnit = (next: BandUnit) => {
    // The server has already worked this band out in the other units.
    const there = same.find((b) => b.unit === next);
    setUnit(next);
    if (there) {
      setLo(shown(there.lo));
      setHi(shown(there.hi));
      setLimit(shown(there.limit));
    }
  };
  const save = async (bands: Partial<Record<Pitch, Band>>) => {
    if (await act(ask("patch", "/api/pitchers/{id}", { path: { id: p.id }, body: { version: p.version, bands: bands as Record<string, Band> } }), "Saved.")) onSaved();
  };
  const without = () => {
    const rest = { ...p.bands };
    delete rest[type.code];
    return rest;
  };
  return (
    <form class="card finding" onSubmit={(e) => { e.preventDefault(); void save({ ...p.bands, [type.code]: band }); }}>
      <h3>{capital(type.name)}{own ? "" : " (default)"}</h3>
      <div class="row band-fields">
        <label class="field short"><span>from</span><input class="input" inputMode="decimal" value={lo} onInput={(e) => setLo(e.currentTarget.value)} /></label>
        <label class="field short"><span>to</span><input class="input" inputMode="decimal" value={hi} onInput={(e) => setHi(e.currentTarget.value)} /></label>
        <label class="field short"><span>too soft from</span><input class="input" inputMode="decimal" value={limit} onInput={(e) => setLimit(e.currentTarget.value)} /></label>
        <label class="field"><span>in</span><select class="input" value={unit} onChange={(e) => toUnit(e.currentTarget.value as BandUnit)}>{units.map((u) => <option key={u}>{u}</option>)}</select></label>
      </div>
      {problem && <p class="problem" role="alert">{problem}</p>}
      {under && same.length > 0 && (
        <div>
          <p class="quiet">Under a baseline of {speedText(under.baseline, p.unit)}{under.known ? "" : " (an example; she has no readings yet)"} this is the same as</p>
          <ul>{same.filter((b) => b.unit !== unit).map((b) => <li key={b.unit}><b>{shown(b.lo)} to {shown(b.hi)}</b>, too soft from {shown(b.limit)} {b.unit}</li>)}</ul>
        </div>
      )}
      <div class="row">
        <button class="button primary" disabled={!changed || !whole || problem !== ""}>Save</button>
        {own && <button type="button" class="button" onClick={() => void save(without())}>Back to the default</button>}
      </div>
    </form>
  );
}
