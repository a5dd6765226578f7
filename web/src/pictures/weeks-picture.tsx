// The picture over weeks: mean gap and spread of one pitch per bullpen against
// the band, or the baseline pitch's mean reading; with a table behind it.
import { useMemo } from "preact/hooks";
import type { GunPlace, Pitch, TrendPoint, Unit } from "../api/types";
import { dayText, rangeText, speedText } from "../words/speed";
import { layOutWeeks, type Followed } from "./weeks-layout";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { useWidth } from "./use-width";

interface Props {
  points: TrendPoint[];
  pitch: Pitch;
  pitchName: string;
  unit: Unit;
  followed?: Followed;
  /** Where most bullpens were read from, for readings. */
  gun?: GunPlace;
  width?: number;
  height?: number;
  onPick?: (bullpenId: string) => void;
}

export function WeeksPicture({ points, pitch, pitchName, unit, followed = "gap", gun, width: fixed, height = 260, onPick }: Props) {
  const [box, measured] = useWidth<HTMLElement>(fixed);
  const layout = useMemo(() => layOutWeeks(points, unit, measured, height, followed), [points, unit, measured, height, followed]);
  const isGap = followed === "gap";
  const what = isGap ? "mean gap under the baseline" : "mean reading";
  if (layout.weeks.length === 0) {
    return <p class="empty">No bullpen has a gap for the {pitchName} yet.</p>;
  }
  const main = !isGap && layout.threads.length > 1 ? gun : undefined;
  const elsewhere = main === undefined ? [] : [...new Set(layout.weeks.filter((w) => w.point.gun !== main).map((w) => w.point.gunSaid))];
  return (
    <figure class="picture" ref={box}>
      <svg
        viewBox={`0 0 ${layout.width} ${layout.height}`}
        width={layout.width}
        height={layout.height}
        role="group"
        aria-label={`${pitchName}, ${what} of each bullpen, in ${unit}. The table below says the same.`}
      >
        {layout.bands.map((b) => <rect key={b.x0} class="band" x={b.x0} width={b.x1 - b.x0} y={b.y0} height={Math.max(b.y1 - b.y0, 1)} />)}
        {layout.rows.map((row) => (
          <g key={row.label} class="row">
            <line x1={layout.left} x2={layout.width - 10} y1={row.y} y2={row.y} />
            <text x={layout.left - 8} y={row.y} dy="0.35em" text-anchor="end">{row.label}</text>
          </g>
        ))}
        {layout.days.map((d) => <text key={d.x} class="panel" x={d.x} y={layout.height - 8} text-anchor="middle">{d.label}</text>)}
        {layout.threads.map((d) => <path key={d} class="thread" d={d} />)}
        {layout.weeks.map((w) => (
          <g key={w.point.bullpenId}>
            {isGap && <line class="spread" x1={w.x} x2={w.x} y1={w.high} y2={w.low} />}
            <path
              class={`dot pitch-${pitch}${main !== undefined && w.point.gun !== main ? " outside" : ""}`}
              d={shapePath(pitch, w.x, w.y, layout.radius)}
              tabIndex={0}
              role={onPick ? "button" : "img"}
              aria-label={weekSentence(w.point, unit, followed)}
              onClick={() => onPick?.(w.point.bullpenId)}
              onKeyDown={onPick && pressed(() => onPick(w.point.bullpenId))}
            >
              <title>{weekSentence(w.point, unit, followed)}</title>
            </path>
          </g>
        ))}
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="22" height="22" aria-hidden="true"><path class={`dot pitch-${pitch}`} d={shapePath(pitch, 11, 11, 7)} /></svg> {what} ({unit})</li>
          {elsewhere.length > 0 && <li>filled: read from {layout.weeks.find((w) => w.point.gun === main)?.point.gunSaid}; hollow: from {elsewhere.join(" or ")}</li>}
          {isGap && <li><svg width="22" height="22" aria-hidden="true"><line class="spread" x1="11" x2="11" y1="2" y2="20" /></svg> spread from rep to rep</li>}
          {layout.bands.length > 0 && <li><svg width="30" height="22" aria-hidden="true"><rect class="band" x="2" y="4" width="26" height="14" /></svg> the band: the gap to aim for</li>}
        </ul>
      </figcaption>
      <details class="behind">
        <summary>The same as a table</summary>
        <div class="scroll">
          <table>
            <thead><tr><th scope="col">day</th><th scope="col">reps</th>{isGap ? <><th scope="col">mean gap ({unit})</th><th scope="col">spread ({unit})</th><th scope="col">band ({unit})</th><th scope="col">in the band</th></> : <><th scope="col">mean reading ({unit})</th>{elsewhere.length > 0 && <th scope="col">the gun stood</th>}</>}</tr></thead>
            <tbody>
              {layout.weeks.map(({ point: p }) => (
                <tr key={p.bullpenId}>
                  <th scope="row">{dayText(p.day)}</th>
                  <td>{p.n}</td>
                  {isGap ? (
                    <>
                      <td>{p.meanGap ? speedText(p.meanGap, unit, false) : ""}</td>
                      <td>{p.sdGap ? speedText(p.sdGap, unit, false) : ""}</td>
                      <td>{p.band ? rangeText(p.band, unit, false) : ""}</td>
                      <td>{p.inBand} of {p.judged}</td>
                    </>
                  ) : <><td>{speedText(p.mean, unit, false)}</td>{elsewhere.length > 0 && <td>{p.gunSaid}</td>}</>}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </figure>
  );
}

function weekSentence(p: TrendPoint, unit: Unit, followed: Followed): string {
  if (followed === "reading") return `${dayText(p.day)}: ${speedText(p.mean, unit)} on average, ${p.n} ${p.n === 1 ? "reading" : "readings"} from ${p.gunSaid}`;
  const gap = p.meanGap ? `${speedText(p.meanGap, unit)} under` : "no gap";
  return `${dayText(p.day)}: ${gap}, ${p.inBand} of ${p.judged} in the band`;
}
