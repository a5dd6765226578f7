// Where the gap came from: the body's part and the hand's part of it as one bar,
// the words under it. The numbers and the rule are the server's.
import type { Speed, SpeedRange, Split, Unit } from "../api/types";
import { layOutSplit, whole } from "./split-layout";
import { useWidth } from "./use-width";

const bar = { top: 2, height: 30 };
const whisker = bar.top + bar.height + 9;
const high = whisker + 8;

interface Props {
  split: Split;
  unit: Unit;
  /** A fixed width for print; else it fills its place. */
  width?: number;
}

export function SplitBar({ split, unit, width: fixed }: Props) {
  const [box, width] = useWidth<HTMLElement>(fixed);
  const pick = (s: Speed) => (unit === "mph" ? s.mph : s.kmh);
  const layout = layOutSplit({ gap: pick(split.gap), body: pick(split.body), bodyLo: pick(split.bodyRange.lo), bodyHi: pick(split.bodyRange.hi) }, width);
  const { border, unsure } = layout;
  // Whole numbers that add up: nobody should wonder where a mile went.
  const parts = whole(pick(split.gap), pick(split.body));
  const body = `body about ${parts.body} ${unit}${between(split.bodyRange, pick)}`;
  const hand = `${split.rest} about ${parts.hand} ${unit}${between(split.handRange, pick)}`;
  return (
    <figure class="picture split" ref={box}>
      <svg viewBox={`0 0 ${width} ${high}`} width={width} height={high} role="img" aria-label={`Of the gap of ${parts.gap} ${unit}: ${body}; ${hand}.`}>
        <rect class="split-hand" x={1} y={bar.top} width={width - 2} height={bar.height} />
        <path class="split-lines" d={slants(border, width - 1)} />
        <rect class="split-body" x={1} y={bar.top} width={Math.max(border - 1, 0)} height={bar.height} />
        <path class="split-border" d={`M${border} ${bar.top - 2}V${whisker}`} />
        <path class="split-unsure" d={`M${unsure.x0} ${whisker}H${unsure.x1}M${unsure.x0 + 1} ${whisker - 6}v12M${unsure.x1 - 1} ${whisker - 6}v12`} />
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="26" height="20" aria-hidden="true"><rect class="split-body" x="1" y="2" width="24" height="16" /></svg> {body}</li>
          <li><svg width="26" height="20" aria-hidden="true"><rect class="split-hand" x="1" y="2" width="24" height="16" /><path class="split-lines" d="M5 18L13 2M13 18L21 2" /></svg> {hand}</li>
        </ul>
      </figcaption>
    </figure>
  );
}

/** Slanted lines over the hand's part, so that it is told apart without colour. */
function slants(x0: number, x1: number): string {
  let path = "";
  const { top, height } = bar;
  for (let x = Math.ceil(x0 / 12) * 12; x + 10 <= x1; x += 12) path += `M${x} ${top + height}L${x + 10} ${top}`;
  return path;
}

/** " (2 to 4)"; less than nothing is said as 0, a range of no width not at all. */
function between({ lo, hi }: SpeedRange, pick: (s: Speed) => number): string {
  const [a, b] = [lo, hi].map((s) => Math.max(Math.round(pick(s)), 0));
  return a === b ? "" : ` (${a} to ${b})`;
}
