// The target: the one picture of a pitch. Across how far under the fastball each rep came
// in, up how fast her body was; the band and the spread of her own fastballs cross in the
// middle. One look tells which of the two went wrong, and on which rep. Where a point lies is
// no verdict: "same body" is said by the server alone, for reps like her own may be too few
// to tell, and of whom it is not said stands half empty. Behind it lies a table.
import { useId, useMemo, useState } from "preact/hooks";
import type { BodyCheck, Judged, RepBody, Rep, Summary, Unit } from "../api/types";
import { folded, verdictName, verdictText } from "../parts/verdict";
import { useSaid } from "../said/language";
import { pitchName } from "../said/names";
import type { Said } from "../said/say";
import { paceText } from "../words/body";
import { gapText, tenthsText } from "../words/speed";
import { HalfInk } from "./half-ink";
import { pressed } from "./press";
import { shapePath } from "./shape";
import { columnLine, layOutTarget, roomFor, type Shot, type TargetLayout, type TargetPoint } from "./target-layout";
import { useWidth } from "./use-width";

/** What of a rep its point shows: all of that is known of one on a shared page. */
export type TargetRep = Pick<Rep, "id" | "order" | "pitch" | "warmUp" | "fill"> & {
  judged: Pick<Judged, "gap" | "uncertainty" | "verdict" | "edgeOf" | "soFar">;
  body?: Pick<RepBody, "legs" | "verdict" | "short">;
};

interface Props<R extends TargetRep> {
  /** Reps of this summary's pitch, drill and gun place. */
  reps: readonly R[];
  summary: Summary;
  /** None for a pitch whose body nobody looked at. */
  check?: Pick<BodyCheck, "own"> | undefined;
  unit: Unit;
  baseline: string;
  /** A fixed size for print; else the picture fills its place. */
  width?: number;
  height?: number;
  onPick?: (rep: R) => void;
  /** Which reps can be picked; all unless said. */
  picks?: (rep: R) => boolean;
}

/** What a rep is on the target; undefined where neither gap nor body is known. */
export function shotOf(rep: TargetRep, unit: Unit): Shot | undefined {
  const of = (v: { mph: number; kmh: number }) => (unit === "mph" ? v.mph : v.kmh);
  const { gap, uncertainty } = rep.judged;
  const legs = rep.body?.legs;
  if (!gap && !legs) return undefined;
  return {
    id: rep.id, order: rep.order,
    ...(gap ? { gap: of(gap), ...(uncertainty ? { gapU: of(uncertainty) } : {}) } : {}),
    ...(legs ? { body: legs.percent, bodyU: legs.u } : {}),
  };
}

export function Target<R extends TargetRep>({ reps, summary, check, unit, baseline, width: fixed, height: tall, onPick, picks }: Props<R>) {
  const [box, measured] = useWidth<HTMLElement>(fixed);
  const width = Math.min(measured, 720);
  const band = summary.bands.find((b) => b.unit === unit);
  const shots = useMemo(() => reps.filter((r) => !r.warmUp).flatMap((r) => shotOf(r, unit) ?? []), [reps, unit]);
  const drawn = useMemo(() => reps.filter((r) => !r.warmUp && shotOf(r, unit)), [reps, unit]);
  const [near, setNear] = useState<TargetPoint>();
  const half = useId();
  const said = useSaid();
  const { say } = said;
  if (!band || shots.length === 0) return null;
  const known = shots.some((s) => s.body !== undefined);
  const height = known && tall ? tall : known ? Math.round(Math.max(290, Math.min(0.68 * width, 430))) : 132;
  const layout = layOutTarget(shots, band, check?.own, width, height, (verdict) => verdictName(said, verdict));
  const byId = new Map(reps.map((r) => [r.id, r]));
  const limits = say("target.limits", { lo: tenthsText(band.lo), hi: tenthsText(band.hi), unit });
  return (
    <figure class="picture target" ref={box}>
      <svg viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group"
        aria-label={say(known ? "target.told" : "target.toldGap", { pitch: pitchName(said, summary.pitch), fastball: baseline, unit, limits })}
        onPointerLeave={() => setNear(undefined)}>
        <HalfInk id={half} />
        <Ground layout={layout} baseline={baseline} />
        {layout.points.map((p) => <Cross key={p.of.id} point={p} />)}
        {layout.points.map((p) => {
          const rep = byId.get(p.of.id)!;
          const pick = onPick && (picks?.(rep) ?? true) ? () => onPick(rep) : undefined;
          return (
            <g key={p.of.id} class="shot" tabIndex={0} role={pick ? "button" : "img"} aria-label={shotText(rep, unit, said)}
              onPointerEnter={() => setNear(p)} onFocus={() => setNear(p)} onBlur={() => setNear(undefined)}
              onClick={pick} onKeyDown={pick && pressed(pick)}>
              {/* Large enough for a thumb. */}
              <circle class="touch" cx={p.x} cy={p.y} r="16" />
              <path class={`dot pitch-${rep.pitch}${rep.fill === "full" || rep.fill === "half" ? "" : " outside"}`} style={rep.fill === "half" ? { fill: `url(#${half})` } : {}} d={shapePath(rep.pitch, p.x, p.y, layout.radius)} />
              {slowed(rep) && <text class="of-rep" x={p.x + layout.radius + 4} y={p.y} dy="0.35em">{rep.order}</text>}
            </g>
          );
        })}
        <text class="axis" x={layout.field.x1} y={height - 6} text-anchor="end">{say("target.across", { unit, fastball: baseline })}</text>
        {near && <Tip point={near} rep={byId.get(near.of.id)!} unit={unit} width={width} />}
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="30" height="22" aria-hidden="true"><rect class="middle" x="2" y="3" width="26" height="16" /></svg> {say(known ? "target.middle" : "target.middleGap", { limits, fastball: baseline })}</li>
          {known && <li>{say("target.up", { fastball: baseline })}</li>}
          {drawn.some((r) => r.fill === "half") && <li><svg width="22" height="22" aria-hidden="true"><path class="dot" style={{ fill: `url(#${half})` }} d={shapePath(summary.pitch, 11, 11, 7)} /></svg> {say("target.half")}</li>}
          {known && reps.some(slowed) && <li>{say("target.numbered")}</li>}
          {layout.beside && <li>{say("target.notRead")}</li>}
        </ul>
      </figcaption>
      <details class="behind">
        <summary>{say("target.table")}</summary>
        <div class="scroll">
          <table>
            <thead><tr><th scope="col">{say("column.rep")}</th><th scope="col">{say("target.across", { unit, fastball: baseline })}</th><th scope="col">{say("column.verdict")}</th><th scope="col">{say("column.legs")}</th></tr></thead>
            <tbody>
              {drawn.map((r) => (
                <tr key={r.id}>
                  <th scope="row">{r.order}</th>
                  <td>{r.judged.gap ? gapText(r.judged.gap, unit, false, r.judged.edgeOf !== undefined) : "–"}</td>
                  <td>{verdictText(r.judged, said) || "–"}</td>
                  <td>{bodyText(r, said) || "–"}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </figure>
  );
}

/** The server says of this rep by itself that legs or arm were slower. */
const slowed = (rep: TargetRep) => rep.body?.verdict !== undefined;

/** Field, band, her own spread and their names. */
export function Ground({ layout: l, baseline }: { layout: TargetLayout; baseline: string }) {
  const { say } = useSaid();
  const like = say("target.like", { fastball: baseline });
  const slow = say("target.slow");
  const box = (z: { x0: number; x1: number; y0: number; y1: number }) => ({ x: z.x0, y: z.y0, width: Math.max(z.x1 - z.x0, 0), height: Math.max(z.y1 - z.y0, 0) });
  return (
    <>
      <rect class="field" {...box(l.field)} />
      {l.under && <rect class="strip" {...box(l.under)} />}
      {l.beside && <rect class="strip" {...box(l.beside)} />}
      <rect class="right-gap" {...box(l.band)} />
      {l.under && <rect class="right-gap" {...box({ ...l.band, y0: l.under.y0, y1: l.under.y1 })} />}
      {l.same && <rect class="same-body" {...box(l.same)} />}
      <rect class="middle" {...box(l.middle)} />
      {l.under && <text class="panel" x={l.under.x1 - 8} y={(l.under.y0 + l.under.y1) / 2} dy="0.35em" text-anchor="end">{say("target.notFilmed")}</text>}
      {l.rows.map((r) => <text key={r.label} x={l.field.x0 - 6} y={r.y} dy="0.35em" text-anchor="end">{r.label}</text>)}
      {l.ticks.map((t) => <text key={t.label} x={t.x} y={(l.under ?? l.field).y1 + 17} text-anchor="middle">{t.label}</text>)}
      {l.columns.map((c) => c.lines.map((line, i) => <text key={line} class="panel" x={c.x} y={l.field.y0 - 9 - columnLine * (c.lines.length - 1 - i)} text-anchor="middle">{line}</text>))}
      {l.whole !== undefined && roomFor(like, l) && <text class="panel" x={l.field.x0 + 8} y={l.whole} dy="0.35em">{like}</text>}
      {l.whole !== undefined && l.same && l.field.y1 - l.same.y1 > 26 && roomFor(slow, l) && <text class="panel" x={l.field.x0 + 8} y={l.field.y1 - 10}>{slow}</text>}
    </>
  );
}

function Cross({ point: p }: { point: TargetPoint }) {
  return (
    <>
      {p.dx > 0 && <line class="unsure" x1={p.x - p.dx} x2={p.x + p.dx} y1={p.y} y2={p.y} />}
      {p.dy > 0 && <line class="unsure" x1={p.x} x2={p.x} y1={p.y - p.dy} y2={p.y + p.dy} />}
    </>
  );
}

function Tip({ point, rep, unit, width }: { point: TargetPoint; rep: TargetRep; unit: Unit; width: number }) {
  const lines = folded(tipLines(rep, unit, useSaid()));
  const wide = Math.min(16 + 8.2 * Math.max(...lines.map((l) => l.length)), width - 4);
  const high = 10 + 20 * lines.length;
  const x = Math.min(Math.max(point.x - wide / 2, 2), width - wide - 2);
  const y = point.y - high - 18 > 0 ? point.y - high - 18 : point.y + 18;
  return (
    <g class="tip" aria-hidden="true">
      <rect x={x} y={y} width={wide} height={high} rx="6" />
      {lines.map((line, i) => <text key={line} x={x + 8} y={y + 20 + 20 * i}>{line}</text>)}
    </g>
  );
}

function tipLines(rep: TargetRep, unit: Unit, said: Said): string[] {
  const { say } = said;
  const { gap, verdict, edgeOf } = rep.judged;
  const out = [say("answer.rep", { order: rep.order })];
  if (gap) {
    const under = say(gap.mph < 0 ? "gap.over" : "gap.under", { gap: gapText(gap.mph < 0 ? { ...gap, mph: -gap.mph, kmh: -gap.kmh } : gap, unit, true, edgeOf !== undefined) });
    out.push(verdict ? `${under}: ${verdictText(rep.judged, said)}` : under);
  }
  const body = bodyText(rep, said);
  if (body) out.push(body);
  return out;
}

/** "legs 97 % ± 2", and what the server says of legs or arm of this rep by itself. */
function bodyText({ body }: TargetRep, { say }: Said): string {
  if (!body?.legs) return "";
  const legs = say("target.legs", { percent: paceText(body.legs) });
  return body.verdict ? `${legs}: ${say(body.verdict === "slowed arm" ? "body.slowedArm" : "body.slowed")}` : legs;
}

/** One rep in one sentence, for a screen reader. */
export function shotText(rep: TargetRep, unit: Unit, said: Said): string {
  return tipLines(rep, unit, said).join(". ");
}
