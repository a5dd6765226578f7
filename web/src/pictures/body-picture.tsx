// The picture of the body: how fast legs or arm went on every rep, in the order of
// throwing, over the spread of her own fastballs. Behind it lies a table with the
// same facts.
import { useMemo, useState } from "preact/hooks";
import type { Pitch, PitchType } from "../api/types";
import { layOutBody, type BodyDot, type Paced } from "./body-layout";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { besideText, paceText } from "../words/body";
import { useWidth } from "./use-width";

export interface BodyRep extends Paced {
  id: string;
  order: number;
  pitch: Pitch;
  pitchName: string;
  /** Standard uncertainty, percentage points. */
  u: number;
  /** Inside the spread of her own fastballs. */
  within: boolean;
  /** Shown by itself to have slowed legs. */
  slowed: boolean;
  /** Arm speed in words, for the table; empty where it is not known. */
  arm: string;
}

interface Props {
  reps: BodyRep[];
  /** The spread of her own fastballs, per cent. */
  spread?: { lo: number; hi: number };
  pitchTypes: PitchType[];
  height?: number;
  onPick?: (id: string) => void;
}

export function BodyPicture({ reps, spread, pitchTypes, height = 200, onPick }: Props) {
  const [box, width] = useWidth<HTMLElement>();
  const layout = useMemo(() => layOutBody(reps, spread, width, height), [reps, spread?.lo, spread?.hi, width, height]);
  const [near, setNear] = useState<BodyDot<BodyRep>>();
  const thrown = pitchTypes.filter((t) => reps.some((r) => r.pitch === t.code));
  return (
    <figure class="picture" ref={box}>
      <svg
        viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group"
        aria-label="Body speed of every rep in the order of throwing, in per cent of her fastball. The table below says the same."
        onPointerLeave={() => setNear(undefined)}
      >
        {layout.spread && <rect class="own-spread" x={layout.left} width={layout.right - layout.left} y={layout.spread.y0} height={layout.spread.y1 - layout.spread.y0} />}
        {layout.rows.map((row) => (
          <g key={row.label} class="row">
            <line x1={layout.left} x2={layout.right} y1={row.y} y2={row.y} />
            <text x={layout.left - 8} y={row.y} dy="0.35em" text-anchor="end">{row.label}</text>
          </g>
        ))}
        <line class="baseline" x1={layout.left} x2={layout.right} y1={layout.whole} y2={layout.whole} />
        {layout.dots.map((d) => <line key={d.of.id} class="how-sure" x1={d.x} x2={d.x} y1={d.high} y2={d.low} />)}
        {layout.dots.map((d) => (
          <path
            key={d.of.id}
            class={`dot pitch-${d.of.pitch}${d.of.within ? "" : " outside"}`}
            d={shapePath(d.of.pitch, d.x, d.y, layout.radius)}
            tabIndex={0}
            role={onPick ? "button" : "img"}
            aria-label={`Rep ${pacedText(d.of)}`}
            onPointerEnter={() => setNear(d)}
            onFocus={() => setNear(d)}
            onBlur={() => setNear(undefined)}
            onClick={() => onPick?.(d.of.id)}
            onKeyDown={onPick && pressed(() => onPick(d.of.id))}
          />
        ))}
        {near && <Tip dot={near} width={width} />}
      </svg>
      <figcaption>
        <ul class="key">
          {thrown.map((t) => (
            <li key={t.code}><Sign pitch={t.code} /> {t.name}</li>
          ))}
          <li><svg width="30" height="22" aria-hidden="true"><line class="baseline" x1="2" x2="28" y1="11" y2="11" /></svg> her fastball</li>
          {spread && <li><svg width="30" height="22" aria-hidden="true"><rect class="own-spread" x="2" y="4" width="26" height="14" /></svg> how much her own fastballs differ</li>}
          {reps.some((r) => !r.within) && <li>hollow: outside of that</li>}
          <li><svg width="22" height="22" aria-hidden="true"><line class="how-sure" x1="11" x2="11" y1="2" y2="20" /></svg> how sure the film is</li>
        </ul>
      </figcaption>
      <details class="behind">
        <summary>The same as a table</summary>
        <div class="scroll">
          <table>
            <thead><tr><th scope="col">rep</th><th scope="col">pitch</th><th scope="col">body speed (legs), % of her fastball</th><th scope="col">arm speed, %</th><th scope="col">beside her own fastballs</th></tr></thead>
            <tbody>
              {reps.map((r) => (
                <tr key={r.id}><th scope="row">{r.order}</th><td>{r.pitchName}</td><td>{paceText(r)}</td><td>{r.arm}</td><td>{besideText(r, "fastballs", r.slowed)}</td></tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </figure>
  );
}

function Sign({ pitch }: { pitch: Pitch }) {
  return <svg width="22" height="22" aria-hidden="true"><path class={`dot pitch-${pitch}`} d={shapePath(pitch, 11, 11, 7)} /></svg>;
}

function Tip({ dot, width }: { dot: BodyDot<BodyRep>; width: number }) {
  const line = pacedText(dot.of);
  const wide = 16 + 8.2 * line.length;
  const x = Math.min(Math.max(dot.x - wide / 2, 2), width - wide - 2);
  const y = dot.high > 40 ? dot.high - 38 : dot.low + 8;
  return <g class="tip" aria-hidden="true"><rect x={x} y={y} width={wide} height="30" rx="6" /><text x={x + 8} y={y + 20}>{line}</text></g>;
}

function pacedText(r: BodyRep): string {
  return `${r.order}. ${r.pitchName}: legs ${paceText(r)}`;
}
