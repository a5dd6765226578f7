// A target in small, and the line of her weeks under it: which of the two went wrong is
// seen in a list already. What it tells stands in words beside it.
import { useId } from "preact/hooks";
import type { SmallTarget as Told, WeekGap } from "../api/types";
import { tenthsText } from "../words/speed";
import { place } from "./scale";
import { HalfInk } from "./half-ink";
import { shapePath } from "./shape";
import { labelAt, layOutSmall } from "./small-target-layout";
import { wayOf } from "./way";

const width = 156;
const height = 104;
/** Above it stands what the band is. */
const above = 15;

export function SmallTarget({ target: t }: { target: Told }) {
  const l = layOutSmall(t.shots, t.band, t.own, width, height);
  const half = useId();
  const under = `${bandText(t)} ${t.unit} under`;
  const well = t.shots.filter((s) => s.well).length;
  const halves = t.shots.filter((s) => s.half).length;
  return (
    <svg class="small-target" viewBox={`0 ${-above} ${width} ${height + above}`} width={width} height={height + above} role="img"
      aria-label={`Target of the ${t.pitchName}${t.drill ? ` in ${t.drill}` : ""}: ${well} of ${t.shots.length} well${halves > 0 ? `, ${halves} with the right gap whose body can’t be told` : ""}.`}>
      <HalfInk id={half} />
      <text x={labelAt((l.band.x0 + l.band.x1) / 2, under, width)} y={-4} text-anchor="middle">{under}</text>
      <rect class="field" x="0.5" y="0.5" width={width - 1} height={height - 1} rx="5" />
      <rect class="right-gap" x={l.band.x0} width={l.band.x1 - l.band.x0} y="1" height={height - 2} />
      {l.same && <rect class="same-body" x="1" width={width - 2} y={l.same.y0} height={l.same.y1 - l.same.y0} />}
      <rect class="middle" x={l.middle.x0} width={l.middle.x1 - l.middle.x0} y={Math.max(l.middle.y0, 1.5)} height={Math.min(l.middle.y1, (l.strip ?? height) - 1.5) - Math.max(l.middle.y0, 1.5)} />
      {l.same?.label && <text x={l.same.label.x} y={(l.same.y0 + l.same.y1) / 2} dy="0.35em" textLength={l.same.label.width} lengthAdjust="spacingAndGlyphs">same body</text>}
      {l.strip !== undefined && <path class="edge" d={`M1 ${l.strip}H${width - 1}`} />}
      {l.points.map((p, i) => <path key={i} class={p.fill === "empty" ? "dot outside" : "dot"} style={p.fill === "half" ? { fill: `url(#${half})` } : {}} d={shapePath("ch", p.x, p.y, 4.2)} />)}
    </svg>
  );
}

/** "8–12", "12.9–19.3". */
const bandText = ({ band }: Told): string => `${tenthsText(band.lo)}–${tenthsText(band.hi)}`;

const lineHeight = 34;

/** Mean gaps, bullpen by bullpen, over the band; what was read from another place of the gun is not joined. */
export function WeeksLine({ weeks, target: t }: { weeks: readonly WeekGap[]; target: Told }) {
  if (weeks.length < 2) return null;
  const gaps = weeks.map((w) => w.gap);
  const up = { from: Math.min(t.band.lo - 3, ...gaps), to: Math.max(t.band.hi + 3, ...gaps), start: lineHeight - 5, end: 5 };
  const x = (i: number) => 6 + (i / (weeks.length - 1)) * (width - 12);
  const first = gaps[0]!;
  const last = gaps.at(-1)!;
  return (
    <svg class="small-target weeks-line" viewBox={`0 0 ${width} ${lineHeight}`} width={width} height={lineHeight} role="img"
      aria-label={`Her last ${weeks.length} bullpens: the gap went from ${tenthsText(first)} to ${tenthsText(last)} ${t.unit}; the band is ${tenthsText(t.band.lo)} to ${tenthsText(t.band.hi)}.`}>
      <rect class="right-gap" x="0" width={width} y={place(up, t.band.hi)} height={place(up, t.band.lo) - place(up, t.band.hi)} />
      <path class="way" d={wayOf(weeks.map((w, i) => ({ x: x(i), y: place(up, w.gap), gun: w.gun })))} />
      {gaps.map((g, i) => <circle key={i} class={g >= t.band.lo && g <= t.band.hi ? "dot" : "dot outside"} cx={x(i)} cy={place(up, g)} r={i === gaps.length - 1 ? 4 : 3} />)}
    </svg>
  );
}
