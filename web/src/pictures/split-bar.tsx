// Where the gap came from: the legs' part and the hand's part of it as one bar, the
// words under it. Numbers, words and rule are the server's.
import type { Speed, Split, Unit } from "../api/types";
import { besideIn, layOutSplit } from "./split-layout";
import { useWidth } from "./use-width";

const bar = { top: 2, height: 30 };
const whisker = bar.top + bar.height + 9;
const high = whisker + 28;
/** What the bracket means, and about how wide that is written. */
const unsureWords = { text: "the legs’ part may end anywhere here", width: 272 };

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
  return (
    <figure class="picture split" ref={box}>
      <svg viewBox={`0 0 ${width} ${high}`} width={width} height={high} role="img" aria-label={`Of the gap of ${split.gapWords}: ${split.legsWords}; ${split.restWords}.`}>
        <rect class="split-hand" x={1} y={bar.top} width={width - 2} height={bar.height} />
        <path class="split-lines" d={slants(border, width - 1)} />
        <rect class="split-body" x={1} y={bar.top} width={Math.max(border - 1, 0)} height={bar.height} />
        <path class="split-border" d={`M${border} ${bar.top - 2}V${whisker}`} />
        <path class="split-unsure" d={`M${unsure.x0} ${whisker}H${unsure.x1}M${unsure.x0 + 1} ${whisker - 6}v12M${unsure.x1 - 1} ${whisker - 6}v12`} />
        <text x={besideIn((unsure.x0 + unsure.x1) / 2, unsureWords.width, width)} y={whisker + 24} text-anchor="middle">{unsureWords.text}</text>
      </svg>
      <figcaption>
        <ul class="key">
          <li><svg width="26" height="20" aria-hidden="true"><rect class="split-body" x="1" y="2" width="24" height="16" /></svg> {split.legsWords}</li>
          <li><svg width="26" height="20" aria-hidden="true"><rect class="split-hand" x="1" y="2" width="24" height="16" /><path class="split-lines" d="M5 18L13 2M13 18L21 2" /></svg> {split.restWords}</li>
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
