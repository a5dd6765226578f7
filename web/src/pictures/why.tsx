// Why a gap works: both balls at the moment when the batter must decide, when her swing
// for the fastball is there, and what a body that slows down changes. Every number is the
// server's. The balls differ by shape, so that it can be read in print.
import { useState } from "preact/hooks";
import type { Moment, Pitch, Unit } from "../api/types";
import { useSaid } from "../said/language";
import type { Key, Said } from "../said/say";
import { tenthsText } from "../words/speed";
import { shapePath } from "./shape";
import { useWidth } from "./use-width";
import { apart, laneIn, lengthIn, placeOn } from "./why-layout";
import { Way } from "./why-way";
import { WhyMoving } from "./why-moving";

interface Props {
  moment: Moment;
  pitch: Pitch;
  unit: Unit;
  /** A fixed size for print; else the picture fills its place. */
  width?: number;
  /** Only the headline and the moment that it tells of, as on paper. */
  still?: boolean;
  /** The same, and the other moments behind a touch. */
  folded?: boolean;
}

const laneHeight = 46;
const radius = 8;

export function Why({ moment: m, pitch, unit, width: fixed, still = false, folded = false }: Props) {
  const said = useSaid();
  const [box, measured] = useWidth<HTMLElement>(fixed);
  const [moving, setMoving] = useState(false);
  const width = Math.min(measured, 640);
  const { baseline } = m;
  const fastball = said.say(`pitch.${baseline}`);
  const away = lengthText(said, m.swing.behind, unit);
  const rows: RowProps[] = [
    { words: said.say("why.decide", { length: lengthText(said, m.decide.behind, unit) }), fast: m.decide.fast, slow: m.decide.slow },
    { words: said.say("why.swing", { fastball, length: away }), fast: 1, slow: m.swing.slow, bat: true },
    { words: said.say("why.wait"), slow: 1, bat: true },
  ];
  const key = (
    <ul class="key">
      <li><Ball pitch={baseline} />{fastball}</li>
      <li><Ball pitch={pitch} slow />{said.say(`pitch.${pitch}`)}</li>
    </ul>
  );
  const moments = (
    <ol class="why-rows">
      {rows.map((row) => <Row key={row.words} {...row} width={width} pitch={pitch} baseline={baseline} />)}
    </ol>
  );
  const depth = (
    <>
      <p>{earlyText(said, m)} {said.say("why.seen", { ms: Math.round(m.earlyMillis) })}</p>
      {moving
        ? <WhyMoving moment={m} pitch={pitch} width={width} />
        : <div class="no-print"><button type="button" class="button" onClick={() => setMoving(true)}>{said.say("why.move")}</button></div>}
      <Sources moment={m} unit={unit} />
    </>
  );
  return (
    <figure class={`picture why${still ? " still" : ""}`} ref={box}>
      <figcaption class="why-said">{said.say("why.headline", { fastball, length: away })}</figcaption>
      {still || folded ? <LaneOf fast={1} slow={m.swing.slow} bat width={width} pitch={pitch} baseline={baseline} /> : moments}
      {key}
      {folded
        ? <details class="depth no-print"><summary>{said.say("why.moments")}</summary><div class="moments">{moments}{depth}</div></details>
        : !still && depth}
    </figure>
  );
}

interface RowProps {
  words: string;
  /** Shares of the way that the balls have come; no fastball where it is past. */
  fast?: number;
  slow: number;
  bat?: boolean;
}

/** One moment: what happens in words, under them the lane. */
function Row({ words, ...lane }: RowProps & { width: number; pitch: Pitch; baseline: Pitch }) {
  return (
    <li>
      <p><b>{words}</b></p>
      <LaneOf {...lane} />
    </li>
  );
}

/** The lane with the balls on it, and how far they are apart. */
function LaneOf({ fast, slow, bat, width, pitch, baseline }: Omit<RowProps, "words"> & { width: number; pitch: Pitch; baseline: Pitch }) {
  const lane = laneIn(width);
  const y = 18;
  const x = fast === undefined ? undefined : placeOn(lane, fast);
  const behind = x === undefined ? placeOn(lane, slow) : apart(placeOn(lane, slow), x, radius);
  return (
    <svg viewBox={`0 0 ${width} ${laneHeight}`} width={width} height={laneHeight} aria-hidden="true">
      <Way lane={lane} y={y} />
      {x !== undefined && <path class="apart" d={`M${behind} ${y + 13}v8H${x}v-8`} />}
      {bat && <path class="bat" d={`M${lane.to + 5} ${y + 15}L${lane.to + 17} ${y - 15}`} />}
      <path class="dot slow-one" d={shapePath(pitch, behind, y, radius)} />
      {x !== undefined && <path class="dot fast-one" d={shapePath(baseline, x, y, radius)} />}
    </svg>
  );
}

function Ball({ pitch, slow }: { pitch: Pitch; slow?: boolean }) {
  return <svg width="24" height="22" aria-hidden="true"><path class={`dot ${slow ? "slow" : "fast"}-one`} d={shapePath(pitch, 12, 11, radius)} /></svg>;
}

/** "6 feet", in metres where her speeds are in km/h. */
function lengthText(said: Said, length: { feet: number; metres: number }, unit: Unit): string {
  const metric = unit === "km/h";
  return said.say(metric ? "metres" : "feet", { n: lengthIn(length, metric) }).replace(" ", "\u00a0");
}

/** How much too early, and what that means. */
function earlyText(said: Said, m: Moment): string {
  const ms = Math.round(m.earlyMillis);
  if (m.times <= 1) return said.say("why.close", { ms });
  return said.say("why.early", { ms, times: m.times < 3 ? tenthsText(m.times) : Math.round(m.times) });
}

const sources: readonly Key[] = ["why.fromSwing", "why.fromOrder", "why.fromTiming", "why.fromBody"];

function Sources({ moment: m, unit }: { moment: Moment; unit: Unit }) {
  const said = useSaid();
  const speed = (v: { mph: number; kmh: number }) => tenthsText(unit === "mph" ? v.mph : v.kmh);
  const way = said.say(unit === "mph" ? "feet" : "metres", { n: Number(tenthsText(unit === "mph" ? m.way.feet : m.way.metres)) });
  return (
    <details class="behind no-print">
      <summary>{said.say("why.from")}</summary>
      <ul class="sources">
        <li>{said.say("why.fromHer", { fast: speed(m.fast), slow: speed(m.slow), unit, way })}</li>
        {sources.map((key) => <li key={key}>{said.say(key)}</li>)}
      </ul>
    </details>
  );
}
