// Both deliveries on one line of time: when legs and arm were at work, the four
// instants, and how much moved in the picture. The pictures above show what lies
// under the upright line.
import { useState } from "preact/hooks";
import { lines } from "../pictures/scale";
import { sense } from "../words/instants";
import { useWidth } from "../pictures/use-width";
import { motionPath, type Motion } from "./motion";
import { instantNames, layOutPhases, type Bar, type InstantName, type Moments } from "./phases";
import { clockText } from "./step";

export interface ClockSide {
  label: string;
  /** How long legs and arm took; empty where it is not known. */
  times: string;
  /** It is drawn at the other one's tempo, not as long as it took. */
  stretched: boolean;
  /** Its instants on the one clock. */
  moments: Moments;
  motion: Motion;
  /** The time of the one clock so many seconds after its release. */
  fromRelease: (seconds: number) => number;
}

interface Props {
  sides: readonly [ClockSide, ClockSide];
  now: number;
  /** What both are aligned at. */
  align: InstantName;
  onGo: (seconds: number) => void;
}

const lane = { name: 16, bar: 19, high: 49 };
const motionTop = 2 * lane.high + 18;
const motionHigh = 60;

export function OneClock({ sides, now, align, onGo }: Props) {
  const [box, width] = useWidth<HTMLElement>();
  const layout = layOutPhases(sides.map((s) => s.moments), width, sides[1].fromRelease(0));
  const traces = sides.map((s) => motionPath(s.motion, (t) => layout.at(s.fromRelease(t)), motionHigh));
  const [asked, setAsked] = useState(false);
  const some = traces.some((t) => t !== "");
  const moved = asked && some;
  const ruler = moved ? motionTop + motionHigh + 6 : 2 * lane.high + 6;
  const high = ruler + 22;
  const x = layout.at(now);
  const go = (event: PointerEvent) => {
    const frame = (event.currentTarget as SVGElement).getBoundingClientRect();
    onGo(layout.from + ((event.clientX - frame.left) / frame.width) * (layout.to - layout.from));
  };
  return (
    <figure class="picture one-line" ref={box}>
      <svg viewBox={`0 0 ${width} ${high}`} width={width} height={high} role="img" aria-label={`Both deliveries on one clock, aligned at ${align}. The sentences below say the same.`} onPointerDown={go} onPointerMove={(e) => e.buttons === 1 && go(e)}>
        <path class="aligned" d={below(layout.zero, moved)} />
        {layout.lanes.map((l, i) => (
          <g key={i} transform={`translate(0 ${i * lane.high})`}>
            <line class="lane" x1={0} x2={width} y1={lane.bar + 11} y2={lane.bar + 11} />
            {l.bars.map((b) => <PhaseBar key={b.part} bar={b} />)}
            {l.ticks.map((t) => <InstantSign key={t.instant} instant={t.instant} x={t.x} y={lane.bar + 11} />)}
          </g>
        ))}
        {moved && (
          <g transform={`translate(0 ${motionTop})`}>
            <rect class="ground" x={0} y={0} width={width} height={motionHigh} />
            <path class="moved first" d={traces[0]} />
            <path class="moved second" d={traces[1]} />
            <text x={0} y={-7}>how much moves in the picture</text>
          </g>
        )}
        {lines(layout.from, layout.to, width < 480 ? 0.4 : 0.2).map((t) => (
          <g key={t}>
            <line class="lane" x1={layout.at(t)} x2={layout.at(t)} y1={ruler - 4} y2={ruler + 2} />
            {layout.at(t) > 24 && layout.at(t) < width - 24 && <text class="small" x={layout.at(t)} y={ruler + 17} text-anchor="middle">{clockText(t).replace(/0 s$/, " s")}</text>}
          </g>
        ))}
        {x >= 0 && x <= width && <path class="now" d={below(x, moved)} />}
        {sides.map((side, i) => <text key={i} class="name" x={0} y={i * lane.high + lane.name - 4}>{side.label}<tspan class="ms" dx="10">{side.times}{side.stretched && side.times && " as thrown"}</tspan></text>)}
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="30" height="22" aria-hidden="true"><rect class="phase legs" x="2" y="5" width="26" height="12" /></svg> legs: drive to plant</li>
          <li><svg width="30" height="22" aria-hidden="true"><rect class="phase arm" x="2" y="5" width="26" height="12" /></svg> arm: top to release</li>
          {sides.filter((s) => s.stretched).map((s) => <li key={s.label}>{s.label}: drawn at the fastball’s tempo, its milliseconds as thrown</li>)}
          {moved && sides.map((s, i) => <li key={i}><svg width="30" height="22" aria-hidden="true"><path class={`moved ${i === 0 ? "first" : "second"}`} d="M2 16Q15 2 28 12" /></svg> {s.label}</li>)}
        </ul>
        <details class="behind">
          <summary>What the signs mean, and how much moves</summary>
          {some && <label class="check"><input type="checkbox" checked={asked} onChange={(e) => setAsked(e.currentTarget.checked)} /> how much moves in the picture</label>}
          <ul class="key">{instantNames.map((i) => <li key={i}><svg width="22" height="22" aria-hidden="true"><InstantSign instant={i} x={11} y={11} /></svg> {i}: {sense[i]}</li>)}</ul>
        </details>
      </figcaption>
    </figure>
  );
}

/** A line down at x that leaves out the words above each lane. */
function below(x: number, moved: boolean): string {
  return `M${x} ${lane.name}V${lane.high - 1}M${x} ${lane.high + lane.name}V${2 * lane.high}${moved ? `M${x} ${motionTop}v${motionHigh + 6}` : ""}`;
}

function PhaseBar({ bar }: { bar: Bar }) {
  // Legs and arm may be at work at once: each has its own half of the lane.
  const y = bar.part === "legs" ? lane.bar : lane.bar + 11;
  return <rect class={`phase ${bar.part}`} x={bar.x0} y={y} width={bar.x1 - bar.x0} height={11} />;
}

const signs: Record<InstantName, string> = {
  drive: "M-5 -7L6 0L-5 7Z",
  plant: "M-6 -6H6L0 7Z",
  top: "M-6 6H6L0 -7Z",
  release: "M-6 0A6 6 0 1 1 6 0A6 6 0 1 1 -6 0Z",
};

function InstantSign({ instant, x, y }: { instant: InstantName; x: number; y: number }) {
  return <path class="instant" d={signs[instant]} transform={`translate(${x.toFixed(1)} ${y})`} />;
}
