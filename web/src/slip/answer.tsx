// What came back: the words first, then clips, drawings, numbers, what to aim at,
// what to throw next. Every number is the server's.
import { useState } from "preact/hooks";
import type { SlipAim, SlipAnswer, SlipClip, SlipDrawing, SlipPage, Unit, Verdict } from "../api/types";
import { Drawn } from "../drawing/drawn";
import { capital } from "../bullpen/said";
import { VerdictMark } from "../parts/verdict";
import { pitchName } from "../workouts/said";
import { bytesText, momentDayText } from "../words/size";
import { gapText, rangeText, underText } from "../words/speed";
import { Sets } from "./sets";

export function Answer({ page, answer }: { page: SlipPage; answer: SlipAnswer }) {
  const { unit, pitchTypes: types } = page;
  const aims = answer.aims.filter((a) => a.aim || a.meanGap);
  const judged = answer.reps.some((r) => r.verdict !== "");
  const read = answer.reps.filter((r) => r.reading);
  return (
    <section class="answer" aria-labelledby="answer">
      <p class="over quiet">{momentDayText(answer.sentAt)}</p>
      <h2 id="answer">What came back</h2>
      {answer.words && <p class="words">{answer.words}</p>}
      {answer.clips.map((clip) => <Clip key={clip.file} clip={clip} />)}
      {answer.gone && <p class="quiet">{answer.gone}</p>}
      {answer.drawings.map((d) => <DrawnFrame key={d.picture} drawing={d} />)}
      {aims.length > 0 && (
        <>
          <h3>What to aim at</h3>
          <ul class="aims">{aims.map((a) => <li key={`${a.pitch} ${a.drill}`}><Aim aim={a} unit={unit} name={pitchName(types, a.pitch)} /></li>)}</ul>
        </>
      )}
      {read.length > 0 && (
        <>
          <h3>Your numbers</h3>
          {judged && <p class="quiet">The gap is how far a pitch came in under your fastball.</p>}
          <div class="numbers" tabIndex={0} role="region" aria-label="Your numbers">
            <table>
              <thead><tr><th scope="col">rep</th><th scope="col">pitch</th><th scope="col" class="figure">{unit}</th>{judged && <th scope="col" class="figure">gap</th>}</tr></thead>
              <tbody>
                {read.map((r) => (
                  <tr key={r.order}>
                    <th scope="row">{r.order}</th>
                    <td>{pitchName(types, r.pitch)}</td>
                    <td class="figure">{r.reading!.value}</td>
                    {judged && <td class="figure">{r.gap ? gapText(r.gap, unit, false) : ""}<VerdictMark verdict={r.verdict} /></td>}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          {judged && <p class="quiet">{meanings(read.map((r) => r.verdict))}</p>}
        </>
      )}
      {answer.next && (
        <>
          <h3>Next: {answer.next.title}</h3>
          {answer.next.note && <p class="words-of-workout">{answer.next.note}</p>}
          <Sets sets={answer.next.sets} drills={page.drills} types={types} />
        </>
      )}
    </section>
  );
}

const means: Record<Exclude<Verdict, "">, string> = {
  "too firm": "too close to your fastball",
  "in the band": "as much slower than your fastball as it should be",
  soft: "slower than it should be; strong hitters can wait for it",
  "too soft": "much slower than it should be",
};

/** What the verdicts mean, those that occur. */
function meanings(verdicts: readonly Verdict[]): string {
  const said = Object.entries(means).filter(([v]) => verdicts.includes(v as Verdict)).map(([v, text]) => `${capital(v)}: ${text}.`);
  return said.join(" ");
}

/** Its first picture is shown before it is played; some phones show none unless they are sent to one. */
function Clip({ clip }: { clip: SlipClip }) {
  const [problem, setProblem] = useState(false);
  return (
    <figure>
      <video src={`${clip.file}#t=0.001`} controls playsInline preload="metadata" aria-label={clip.title} onError={() => setProblem(true)}>
        <track kind="captions" src={clip.captions} srcLang="en" label="Captions" />
      </video>
      {problem && <p class="notice alarm">It can’t be played just now. Load this page again.</p>}
      <figcaption class="of-clip"><b>{clip.title}</b><a class="button" href={clip.file} download={clip.fileName}>Save, {bytesText(clip.bytes)}</a></figcaption>
    </figure>
  );
}

function DrawnFrame({ drawing }: { drawing: SlipDrawing }) {
  const [size, setSize] = useState<{ width: number; height: number }>();
  return (
    <figure>
      <div class="frame">
        <img src={drawing.picture} alt={`A frame of rep ${drawing.order}, drawn on`} onLoad={(e) => setSize({ width: e.currentTarget.naturalWidth, height: e.currentTarget.naturalHeight })} />
        {size && <svg viewBox={`0 0 ${size.width} ${size.height}`} aria-hidden="true"><Drawn shapes={drawing.shapes} size={size} /></svg>}
      </div>
      <figcaption>Rep {drawing.order}{notes(drawing)}</figcaption>
    </figure>
  );
}

function notes(drawing: SlipDrawing): string {
  const words = drawing.shapes.map((s) => s.text).filter(Boolean);
  return words.length > 0 ? `: ${words.join("; ")}` : "";
}

function Aim({ aim: a, unit, name }: { aim: SlipAim; unit: Unit; name: string }) {
  // An answer sent before the server said whole numbers keeps what it was sent with.
  const aim = a.aimSaid ?? (a.aim && rangeText(a.aim, unit, false));
  const back = a.comeBackOnSaid ?? (a.comeBackOn && rangeText(a.comeBackOn, unit, false));
  return (
    <>
      <p><b>{name}</b>{a.drill && `, ${a.drill}`}{aim && <>: aim at {aim.includes(" to ") && !aim.includes("(") && "anything from "}<b>{aim} {unit}</b></>}</p>
      {a.meanGap && <p>{underText(a.meanGap, unit, a.edgeOf !== undefined)} your fastball on average: <VerdictMark verdict={a.verdict} edgeOf={a.edgeOf} soFar={a.soFar} /></p>}
      {back && <p>{back} {unit} can come back on: throw it that much faster.</p>}
    </>
  );
}
