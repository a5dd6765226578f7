// Body speed over the weeks: one mark per bullpen with the range that the film
// leaves, and the verdict; with a table behind it.
import { useMemo } from "preact/hooks";
import type { BodyCheck, Pitch, TrendPoint } from "../api/types";
import { BodyMark } from "../parts/body-mark";
import { dayText } from "../words/speed";
import { layOutBody, type Paced } from "./body-layout";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { useWidth } from "./use-width";
import { shortDay } from "./weeks-layout";

interface Week extends Paced {
  bullpenId: string;
  day: string;
  verdict: BodyCheck["verdict"];
}

interface Props {
  points: readonly TrendPoint[];
  pitch: Pitch;
  pitchName: string;
  height?: number;
  onPick: (bullpenId: string) => void;
}

export function BodyWeeks({ points, pitch, pitchName, height = 260, onPick }: Props) {
  const [box, width] = useWidth<HTMLElement>();
  const weeks = useMemo(() => points.flatMap(weekOf), [points]);
  const layout = useMemo(() => layOutBody(weeks, undefined, width, height, 30), [weeks, width, height]);
  if (weeks.length === 0) return null;
  const every = Math.max(1, Math.ceil(weeks.length / Math.max(1, Math.floor((layout.right - layout.left) / 74))));
  return (
    <figure class="picture" ref={box}>
      <svg viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group" aria-label={`Body speed on the ${pitchName} in each bullpen, in per cent of her fastball. The table below says the same.`}>
        {layout.rows.map((row) => (
          <g key={row.label} class="row">
            <line x1={layout.left} x2={layout.right} y1={row.y} y2={row.y} />
            <text x={layout.left - 8} y={row.y} dy="0.35em" text-anchor="end">{row.label}</text>
          </g>
        ))}
        <line class="baseline" x1={layout.left} x2={layout.right} y1={layout.whole} y2={layout.whole} />
        <path class="thread" d={layout.dots.map((d, i) => `${i === 0 ? "M" : "L"}${d.x.toFixed(1)} ${d.y.toFixed(1)}`).join("")} />
        {layout.dots.map((d, i) => i % every === 0 && <text key={d.of.bullpenId} class="panel" x={d.x} y={height - 8} text-anchor="middle">{shortDay(d.of.day)}</text>)}
        {layout.dots.map((d) => (
          <g key={d.of.bullpenId}>
            <line class="spread" x1={d.x} x2={d.x} y1={d.high} y2={d.low} />
            <path
              class={`dot pitch-${pitch}${d.of.verdict === "slowed body" ? " outside" : ""}`}
              d={shapePath(pitch, d.x, d.y, layout.radius)}
              tabIndex={0}
              role="button"
              aria-label={`${dayText(d.of.day)}: legs ${Math.round(d.of.percent)} %, ${d.of.verdict}`}
              onClick={() => onPick(d.of.bullpenId)}
              onKeyDown={pressed(() => onPick(d.of.bullpenId))}
            >
              <title>{`${dayText(d.of.day)}: legs ${Math.round(d.of.percent)} %, ${d.of.verdict}`}</title>
            </path>
          </g>
        ))}
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="22" height="22" aria-hidden="true"><path class={`dot pitch-${pitch}`} d={shapePath(pitch, 11, 11, 7)} /></svg> body speed (legs), % of her fastball</li>
          <li><svg width="22" height="22" aria-hidden="true"><line class="spread" x1="11" x2="11" y1="2" y2="20" /></svg> how sure the film is</li>
          <li><svg width="30" height="22" aria-hidden="true"><line class="baseline" x1="2" x2="28" y1="11" y2="11" /></svg> her fastball</li>
          {weeks.some((w) => w.verdict === "slowed body") && <li>hollow: slowed body</li>}
        </ul>
      </figcaption>
      <details class="behind">
        <summary>The same as a table</summary>
        <div class="scroll">
          <table>
            <thead><tr><th scope="col">day</th><th scope="col">body speed</th><th scope="col">between</th><th scope="col">verdict</th></tr></thead>
            <tbody>
              {weeks.map((w) => (
                <tr key={w.bullpenId}>
                  <th scope="row">{dayText(w.day)}</th>
                  <td>{Math.round(w.percent)} %</td>
                  <td>{Math.round(w.lo)} and {Math.round(w.hi)} %</td>
                  <td><BodyMark verdict={w.verdict} /></td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </figure>
  );
}

function weekOf({ bullpenId, day, body }: TrendPoint): Week[] {
  const legs = body?.legs;
  return legs ? [{ bullpenId, day, verdict: body.verdict, percent: legs.speed, lo: legs.speedLo, hi: legs.speedHi }] : [];
}
