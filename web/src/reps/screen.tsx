// All reps across bullpens: filtered by pitcher, pitch, days and verdict.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Pitch, PitcherCard, RepRow, Verdict } from "../api/types";
import { DayField } from "../parts/day-field";
import { usePitchTypes } from "../api/use-pitch-types";
import { askedOf } from "../parts/sure";
import { SureMark } from "../parts/sure-mark";
import { Judgement } from "../parts/verdict";
import { pageWithRows } from "./pages";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { dayText, gapText } from "../words/speed";

interface Wanted {
  pitcher: string;
  pitch: Pitch | "";
  from: string;
  to: string;
  verdict: Verdict;
}

const verdicts: Exclude<Verdict, "">[] = ["too firm", "in the band", "soft", "too soft"];

export function RepsScreen() {
  const [wanted, setWanted] = useState<Wanted>({ pitcher: "", pitch: "", from: "", to: "", verdict: "" });
  const types = usePitchTypes();
  const [pitchers, setPitchers] = useState<PitcherCard[]>([]);
  useEffect(() => {
    ask("get", "/api/pitchers").then((all) => setPitchers(all.pitchers), () => {});
  }, []);
  const set = (change: Partial<Wanted>) => setWanted({ ...wanted, ...change });
  return (
    <>
      <h1>All reps</h1>
      <div class="filters">
        <label class="field"><span>Pitcher</span>
          <select class="input" value={wanted.pitcher} onChange={(e) => set({ pitcher: e.currentTarget.value })}>
            <option value="">all</option>{pitchers.map((p) => <option key={p.id} value={p.id}>{p.label}</option>)}
          </select>
        </label>
        <label class="field"><span>Pitch</span>
          <select class="input" value={wanted.pitch} onChange={(e) => set({ pitch: e.currentTarget.value as Pitch | "" })}>
            <option value="">all</option>{types.map((t) => <option key={t.code} value={t.code}>{t.name}</option>)}
          </select>
        </label>
        <label class="field"><span>Verdict</span>
          <select class="input" value={wanted.verdict} onChange={(e) => set({ verdict: e.currentTarget.value as Verdict })}>
            <option value="">all</option>{verdicts.map((v) => <option key={v}>{v}</option>)}
          </select>
        </label>
        <DayField label="From" none="the first" value={wanted.from} onInput={(from) => set({ from })} />
        <DayField label="To" none="today" value={wanted.to} onInput={(to) => set({ to })} />
      </div>
      <RepList wanted={wanted} />
    </>
  );
}

/** A list of reps that grows by pages. */
export function RepList({ wanted }: { wanted: Wanted }) {
  const [rows, setRows] = useState<readonly RepRow[]>();
  const [next, setNext] = useState<string>();
  const [problem, setProblem] = useState("");
  const [looking, setLooking] = useState(true);
  const key = JSON.stringify(wanted);
  const wantedNow = useRef(key);
  wantedNow.current = key;
  const load = async (cursor: string, signal?: AbortSignal) => {
    const query = {
      ...(wanted.pitcher ? { pitcher: wanted.pitcher } : {}),
      ...(wanted.pitch ? { pitch: wanted.pitch } : {}),
      ...(wanted.from ? { from: wanted.from } : {}),
      ...(wanted.to ? { to: wanted.to } : {}),
      ...(wanted.verdict ? { verdict: wanted.verdict } : {}),
    };
    const get = (at: string) => ask("get", "/api/reps", { query: { ...query, ...(at ? { cursor: at } : {}) }, ...(signal ? { signal } : {}) });
    setLooking(true);
    try {
      const page = await pageWithRows<RepRow>(get, cursor);
      if (wantedNow.current !== key) return; // more of what is wanted no longer
      setRows((before) => (cursor ? [...(before ?? []), ...page.reps] : page.reps));
      setNext(page.next);
      setProblem("");
    } catch (failure) {
      if (!signal?.aborted) setProblem(sentenceOf(failure));
    }
    if (!signal?.aborted) setLooking(false);
  };
  useEffect(() => {
    const gone = new AbortController();
    void load("", gone.signal);
    return () => gone.abort();
  }, [key]);
  if (problem) return <p class="notice alarm" role="alert">{problem}</p>;
  if (!rows) return <p class="quiet" role="status">Looking …</p>;
  if (rows.length === 0) return <p class="quiet">No rep fits.</p>;
  return (
    <>
      <div class="scroll" tabIndex={0} role="region" aria-label="Reps">
        <table class="ledger-table stacked" role="table">
          <thead role="rowgroup"><tr role="row">{["rep", "pitch", "reading", "gap"].map((name) => <th key={name} scope="col" role="columnheader">{name}</th>)}</tr></thead>
          <tbody role="rowgroup">
            {rows.map(({ rep, day, pitcherId, pitcherLabel }) => (
              <tr key={rep.id} role="row">
                <th scope="row" role="rowheader" class="of-bullpen"><Link to={to.bullpen(rep.bullpenId)}>{dayText(day)}</Link> <span class="where"><Link to={to.pitcher(pitcherId)}>{pitcherLabel}</Link>, {rep.filmId && rep.release !== undefined ? <Link to={to.filmRoom(rep.bullpenId, rep.id)} aria-label={`Rep ${rep.order} in the film room`}>rep {rep.order}</Link> : `rep ${rep.order}`}</span></th>
                <td role="cell" class="of-pitch">{rep.pitchName}<span class="where">{rep.drill || "full pitch"}</span></td>
                <td role="cell" class="of-reading">{rep.reading ? `${rep.reading.value} ${rep.reading.unit}` : "–"} <SureMark asked={askedOf(rep)} /></td>
                <td role="cell" class="gap-and-verdict">
                  {rep.judged.gap && rep.judged.verdict && <span>{gapText(rep.judged.gap, rep.reading?.unit ?? "mph", true, rep.judged.onEdge)}</span>}{" "}
                  {rep.judged.verdict && <Judgement judged={rep.judged} />}{" "}
                  {rep.body?.short && <span class={rep.body.verdict ? "slowed" : ""}>{rep.body.short}</span>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {next && <button type="button" class="button" disabled={looking} onClick={() => void load(next)}>{looking ? "Looking …" : "Show more"}</button>}
    </>
  );
}
