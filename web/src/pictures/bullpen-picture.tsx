// The picture of a bullpen: every rep in the order of throwing, the fastball
// baseline, and the band at its true place under it. Behind it lies a table with
// the same facts.
import { useMemo, useState } from "preact/hooks";
import type { PitchType, Rep, Summary, Unit } from "../api/types";
import { layOut, type Dot } from "./bullpen-layout";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { useWidth } from "./use-width";
import { folded, verdictText } from "../parts/verdict";
import { baselineIs } from "../words/baseline";
import { gapText, speedText } from "../words/speed";

/** From this many reps on the marks of a pitch are one path, and only the nearest one is told apart. */
const many = 240;

interface Props {
  reps: Rep[];
  summaries: Summary[];
  pitchTypes: PitchType[];
  unit: Unit;
  /** A fixed width for print; else the picture fills its place. */
  width?: number;
  height?: number;
  onPick?: (rep: Rep) => void;
}

export function BullpenPicture({ reps, summaries, pitchTypes, unit, width: fixed, height = 340, onPick }: Props) {
  const [box, measured] = useWidth<HTMLElement>(fixed);
  const layout = useMemo(() => layOut(reps, summaries, unit, measured, height), [reps, summaries, unit, measured, height]);
  const [near, setNear] = useState<Dot>();
  const dots = layout.panels.flatMap((p) => p.dots);
  const thrown = pitchTypes.filter((t) => dots.some((d) => d.pitch === t.code));
  const baseline = dots.find((d) => d.rep.judged.baseline)?.rep.judged.baseline;
  if (dots.length === 0) {
    return <p class="empty">No readings yet. They appear here, every rep in the order it was thrown.</p>;
  }
  const find = (event: PointerEvent) => {
    const frame = (event.currentTarget as SVGElement).getBoundingClientRect();
    const x = ((event.clientX - frame.left) / frame.width) * layout.width;
    const y = ((event.clientY - frame.top) / frame.height) * layout.height;
    setNear(nearest(dots, x, y));
  };
  const each = dots.length <= many;
  return (
    <figure class="picture" ref={box}>
      <svg
        viewBox={`0 0 ${layout.width} ${layout.height}`}
        width={layout.width}
        height={layout.height}
        role="group"
        aria-label={`Every reading in the order of throwing, in ${unit}. The table below says the same.`}
        onPointerMove={find}
        onPointerLeave={() => setNear(undefined)}
      >
        {layout.rows.map((row) => (
          <g key={row.label} class="row">
            <line x1={layout.left} x2={layout.width - 10} y1={row.y} y2={row.y} />
            <text x={layout.left - 8} y={row.y} dy="0.35em" text-anchor="end">{row.label}</text>
          </g>
        ))}
        <text class="unit" x={layout.left - 8} y={14} text-anchor="end">{unit}</text>
        {layout.panels.map((panel) => (
          <g key={panel.title}>
            {panel.bands.map((b, i) => (
              <rect key={i} class="band" x={b.x0} y={b.y0} width={b.x1 - b.x0} height={Math.max(b.y1 - b.y0, 1)} />
            ))}
            {panel.baseline.map((b, i) => <line key={i} class="baseline" x1={b.x0} x2={b.x1} y1={b.y0} y2={b.y1} />)}
            <text class="panel" x={panel.x0} y={layout.height - 8}>{panel.title}</text>
          </g>
        ))}
        {each
          ? dots.map((d) => <Mark key={d.rep.id} dot={d} r={layout.radius} unit={unit} onNear={setNear} {...(onPick ? { onPick } : {})} />)
          : thrown.map((t) => <ManyMarks key={t.code} dots={dots.filter((d) => d.pitch === t.code)} r={layout.radius} />)}
        {near && <Tip dot={near} unit={unit} width={layout.width} r={layout.radius} />}
      </svg>
      <figcaption>
        <ul class="key">
          {thrown.map((t) => (
            <li key={t.code}>
              <svg width="22" height="22" aria-hidden="true"><path class={`dot pitch-${t.code}`} d={shapePath(t.code, 11, 11, 7)} /></svg>
              {t.name}
            </li>
          ))}
          <li><svg width="30" height="22" aria-hidden="true"><line class="baseline" x1="2" x2="28" y1="11" y2="11" /></svg> {baseline ? `baseline: ${baselineIs(baseline, pitchTypes.find((t) => t.code === baseline.pitch)?.name ?? "fastball")}` : "baseline"}</li>
          {layout.panels.some((p) => p.bands.length > 0) && (
            <li><svg width="30" height="22" aria-hidden="true"><rect class="band" x="2" y="4" width="26" height="14" /></svg> the band: the gap to aim for</li>
          )}
          {dots.some((d) => d.verdict && d.verdict !== "in the band") && <li>hollow: outside the band</li>}
        </ul>
      </figcaption>
      <details class="behind">
        <summary>The same as a table</summary>
        <RepTable reps={reps} unit={unit} />
      </details>
    </figure>
  );
}

function dotClass(d: Dot): string {
  const out = d.verdict !== "" && d.verdict !== "in the band";
  return `dot pitch-${d.pitch}${out ? " outside" : ""}`;
}

function Mark({ dot, r, unit, onNear, onPick }: { dot: Dot; r: number; unit: Unit; onNear: (d?: Dot) => void; onPick?: (rep: Rep) => void }) {
  return (
    <path
      class={dotClass(dot)}
      d={shapePath(dot.pitch, dot.x, dot.y, r)}
      tabIndex={0}
      role={onPick ? "button" : "img"}
      aria-label={sentence(dot.rep, unit)}
      onFocus={() => onNear(dot)}
      onBlur={() => onNear(undefined)}
      onClick={() => onPick?.(dot.rep)}
      onKeyDown={onPick && pressed(() => onPick(dot.rep))}
    />
  );
}

function ManyMarks({ dots, r }: { dots: Dot[]; r: number }) {
  const inside = dots.filter((d) => !dotClass(d).includes("outside"));
  const outside = dots.filter((d) => dotClass(d).includes("outside"));
  const path = (some: Dot[]) => some.map((d) => shapePath(d.pitch, d.x, d.y, r)).join("");
  const pitch = dots[0]?.pitch;
  return (
    <>
      {inside.length > 0 && <path class={`dot pitch-${pitch}`} d={path(inside)} />}
      {outside.length > 0 && <path class={`dot pitch-${pitch} outside`} d={path(outside)} />}
    </>
  );
}

function Tip({ dot, unit, width, r }: { dot: Dot; unit: Unit; width: number; r: number }) {
  const lines = folded(tipLines(dot.rep, unit));
  const wide = 12 + 8.6 * Math.max(...lines.map((l) => l.length));
  const high = 10 + 20 * lines.length;
  const x = Math.min(Math.max(dot.x - wide / 2, 2), width - wide - 2);
  const y = dot.y - r - high - 8 > 0 ? dot.y - r - high - 8 : dot.y + r + 8;
  return (
    <g class="tip" aria-hidden="true">
      <rect x={x} y={y} width={wide} height={high} rx="6" />
      {lines.map((line, i) => <text key={i} x={x + 8} y={y + 20 + 20 * i}>{line}</text>)}
    </g>
  );
}

function tipLines(rep: Rep, unit: Unit): string[] {
  const out = [`${rep.order}. ${rep.pitchName}${rep.judged.speed ? `, ${speedText(rep.judged.speed, unit)}` : ""}`];
  if (rep.judged.gap && rep.judged.verdict) out.push(`${gapText(rep.judged.gap, unit, true, rep.judged.edgeOf !== undefined)} under: ${verdictText(rep.judged)}`);
  return out;
}

/** One rep in one sentence, for a screen reader. */
export function sentence(rep: Rep, unit: Unit): string {
  return `Rep ${tipLines(rep, unit).join(". ")}`;
}

function nearest(dots: Dot[], x: number, y: number): Dot | undefined {
  let best: Dot | undefined;
  let least = 40 * 40;
  for (const d of dots) {
    const far = (d.x - x) ** 2 + (d.y - y) ** 2;
    if (far < least) [best, least] = [d, far];
  }
  return best;
}

/** At most this many rows are written out; the CSV has all. */
const mostRows = 400;

export function RepTable({ reps, unit }: { reps: Rep[]; unit: Unit }) {
  const read = reps.filter((r) => r.reading && !r.warmUp);
  return (
    <div class="scroll">
      <table>
        <thead>
          <tr><th scope="col">rep</th><th scope="col">pitch</th><th scope="col">drill</th><th scope="col">reading ({unit})</th><th scope="col">gap ({unit})</th><th scope="col">verdict</th></tr>
        </thead>
        <tbody>
          {read.slice(0, mostRows).map((r) => (
            <tr key={r.id}>
              <th scope="row">{r.order}</th>
              <td>{r.pitchName}</td>
              <td>{r.drill || "full pitch"}</td>
              <td>{r.judged.speed ? speedText(r.judged.speed, unit, false) : ""}</td>
              <td>{r.judged.gap ? gapText(r.judged.gap, unit, false, r.judged.edgeOf !== undefined) : ""}</td>
              <td>{verdictText(r.judged)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {read.length > mostRows && <p>The first {mostRows} of {read.length}; the CSV has all.</p>}
    </div>
  );
}
