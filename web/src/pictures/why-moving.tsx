// The two balls on their way, much slowed down, held still at the two moments that count.
// Where motion is not wanted the button goes from moment to moment, and the bar does the same.
import { useEffect, useState } from "preact/hooks";
import type { Moment, Pitch } from "../api/types";
import { useSaid } from "../said/language";
import { shapePath } from "./shape";
import { between, laneIn, placeOn } from "./why-layout";
import { Way } from "./why-way";

/** How much slower than real it runs, and how long it holds still, ms. */
const slowed = 6;
const hold = 1400;

interface Props {
  moment: Moment;
  pitch: Pitch;
  width: number;
}

export function WhyMoving({ moment: m, pitch, width }: Props) {
  const { say } = useSaid();
  const { baseline } = m;
  const end = m.track[m.track.length - 1]!.seconds;
  const stops = [m.decide.seconds, m.swing.seconds, end];
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const [at, setAt] = useState(0);
  const [running, setRunning] = useState(!still);
  useEffect(() => {
    if (!running) return;
    let frame = 0;
    let last: number | undefined;
    let now = at >= end ? 0 : at;
    let wait = 0;
    const step = (ms: number) => {
      const gone = last === undefined ? 0 : ms - last;
      last = ms;
      if (wait > 0) wait -= gone;
      else {
        const next = now + gone / 1000 / slowed;
        const stop = stops.find((s) => s > now && s <= next);
        now = stop ?? next;
        if (stop !== undefined) wait = hold;
        setAt(now);
        if (now >= end) return setRunning(false);
      }
      frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => cancelAnimationFrame(frame);
  }, [running]);
  const press = () => {
    if (!still) return setRunning(!running);
    setAt(stops.find((s) => s > at) ?? 0);
  };
  const lane = laneIn(width);
  const balls = between(m.track, at);
  const words = at >= end ? "why.there" : at >= m.swing.seconds ? "why.swings" : at >= m.decide.seconds ? "why.decides" : "why.thrown";
  return (
    <div class="why-moving no-print">
      <svg viewBox={`0 0 ${width} 44`} width={width} height={44} aria-hidden="true">
        <Way lane={lane} y={22} />
        {at >= m.swing.seconds && <path class="bat" d={`M${lane.to + 5} 37L${lane.to + 17} 5`} />}
        <path class="dot slow-one" d={shapePath(pitch, placeOn(lane, balls.slow), 22, 8)} />
        {balls.fast < 1 || at <= m.swing.seconds ? <path class="dot fast-one" d={shapePath(baseline, placeOn(lane, balls.fast), 22, 8)} /> : null}
      </svg>
      <p aria-live="polite"><b>{say(words, { fastball: say(`pitch.${baseline}`), pitch: say(`pitch.${pitch}`) })}</b></p>
      <div class="row">
        <button type="button" class="button" onClick={press}>{say(still ? "why.nextMoment" : running ? "why.pause" : "why.play")}</button>
        <input type="range" min="0" max={Math.round(1000 * end)} step="5" value={Math.round(1000 * at)} aria-label={say("why.bar")} aria-valuetext={say("why.after", { ms: Math.round(1000 * at) })}
          onInput={(e) => { setRunning(false); setAt(Number(e.currentTarget.value) / 1000); }} />
      </div>
    </div>
  );
}
