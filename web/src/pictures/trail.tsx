// The trail: her bullpens on one target, each at its mean gap and mean body speed, joined
// in the order of their days, so that one look tells which way she is going. What was read
// from another place of the gun is not joined.
import type { Pitch, TrendPoint, Unit } from "../api/types";
import { dayText, tenthsText, underText } from "../words/speed";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { layOutTarget, type Shot } from "./target-layout";
import { Ground } from "./target";
import { useWidth } from "./use-width";
import { wayOf } from "./way";
import { shortDay } from "./weeks-layout";

interface Props {
  points: readonly TrendPoint[];
  pitch: Pitch;
  pitchName: string;
  unit: Unit;
  baseline: string;
  onPick: (bullpenId: string) => void;
}

export function Trail({ points, pitch, pitchName, unit, baseline, onPick }: Props) {
  const [box, measured] = useWidth<HTMLElement>();
  const of = (v: { mph: number; kmh: number }) => (unit === "mph" ? v.mph : v.kmh);
  const told = points.filter((p) => p.meanGap);
  const band = told.at(-1)?.band;
  const limit = told.at(-1)?.limit;
  if (!band || !limit || told.length < 2) return null;
  const shots: Shot[] = told.map((p, i) => ({
    id: p.bullpenId, order: i + 1, gap: of(p.meanGap!), ...(p.body?.legs ? { body: p.body.legs.speed } : {}),
  }));
  const width = Math.min(measured, 720);
  const known = shots.some((s) => s.body !== undefined);
  const height = known ? Math.round(Math.max(270, Math.min(0.55 * width, 380))) : 132;
  const lo = of(band.lo);
  const hi = of(band.hi);
  const own = [...told].reverse().find((p) => p.body?.own)?.body?.own;
  const layout = layOutTarget(shots, { lo, hi, limit: of(limit) }, own, width, height);
  const at = new Map(layout.points.map((p) => [p.of.id, p]));
  const inOrder = told.flatMap((p) => { const on = at.get(p.bullpenId); return on ? [{ on, point: p }] : []; });
  const says = (p: TrendPoint) => `${dayText(p.day)}: ${underText(p.meanGap!, unit)}${p.body?.legs ? `, legs ${Math.round(p.body.legs.speed)} %` : ""}`;
  return (
    <figure class="picture target trail" ref={box}>
      <svg viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group"
        aria-label={`Her bullpens on the target of the ${pitchName}, the latest filled: across, mean ${unit} under her ${baseline}${known ? "; up, body speed in per cent of her own" : ""}. The table below says the same.`}>
        <Ground layout={layout} baseline={baseline} />
        <path class="way" d={wayOf(inOrder.map(({ on, point }) => ({ x: on.x, y: on.y, gun: point.gun })))} />
        {inOrder.map(({ on, point }, i) => {
          const latest = i === inOrder.length - 1;
          return (
            <g key={point.bullpenId} class="shot" tabIndex={0} role="button" aria-label={says(point)} onClick={() => onPick(point.bullpenId)} onKeyDown={pressed(() => onPick(point.bullpenId))}>
              <title>{says(point)}</title>
              <circle class="touch" cx={on.x} cy={on.y} r="16" />
              <path class={`dot pitch-${pitch} ${latest ? "latest" : "earlier"}`} d={shapePath(pitch, on.x, on.y, latest ? layout.radius + 2 : layout.radius - 1)} />
            </g>
          );
        })}
        {[inOrder[0]!, inOrder.at(-1)!].map(({ on, point }) => <text key={point.bullpenId} class="of-rep" aria-hidden="true" x={on.x} y={on.y - layout.radius - 6} text-anchor="middle">{shortDay(point.day)}</text>)}
        <text class="axis" x={layout.field.x1} y={height - 6} text-anchor="end">{unit} under her {baseline}</text>
      </svg>
      <figcaption class="quiet">Each point is the mean of one bullpen; filled: the latest.</figcaption>
      <details class="behind">
        <summary>The same as a table</summary>
        <div class="scroll">
          <table>
            <thead><tr><th scope="col">day</th><th scope="col">mean gap ({unit})</th><th scope="col">in the band</th><th scope="col">legs</th></tr></thead>
            <tbody>
              {told.map((p) => (
                <tr key={p.bullpenId}><th scope="row">{dayText(p.day)}</th><td>{tenthsText(of(p.meanGap!))}</td><td>{p.inBand} of {p.judged}</td><td>{p.body?.legs ? `${Math.round(p.body.legs.speed)} %` : "–"}</td></tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </figure>
  );
}
