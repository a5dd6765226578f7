// What came back: the words first, then clips, drawings, what to aim at, how
// she moves, what to throw next, the numbers; why it works behind a touch. Every number is the server's.
import { useState } from "preact/hooks";
import type { SlipAim, SlipAnswer, SlipDrawing, SlipPage, Unit, Verdict } from "../api/types";
import { Drawn } from "../drawing/drawn";
import { ClipFigure } from "../links/clip-figure";
import { VerdictMark } from "../parts/verdict";
import { Why } from "../pictures/why";
import { useSaid } from "../said/language";
import { capital, pitchName } from "../said/names";
import type { Key, Said } from "../said/say";
import { gapText } from "../words/speed";
import { Sets } from "./sets";

/** How many numbers stand there without a touch. */
const few = 8;

export function Answer({ page, answer }: { page: SlipPage; answer: SlipAnswer }) {
  const { unit } = page;
  const said = useSaid();
  const { say, moment } = said;
  const aims = answer.aims.filter((a) => a.aim || a.meanGap || a.body);
  const why = aims.find((a) => a.moment && !a.drill) ?? aims.find((a) => a.moment);
  const judged = answer.reps.some((r) => r.verdict !== "");
  const seen = answer.reps.some((r) => r.body);
  const read = answer.reps.filter((r) => r.reading || r.body);
  return (
    <section class="answer" aria-labelledby="answer">
      <p class="over quiet">{moment(answer.sentAt)}</p>
      <h2 id="answer">{say("answer.title")}</h2>
      {answer.words && <p class="words">{answer.words}</p>}
      {answer.clips.length > 0 && <div class="clips-in-a-row">{answer.clips.map((clip, i) => <ClipFigure key={`${i} ${clip.title}`} clip={clip} title={clip.title} />)}</div>}
      {answer.gone && <p class="quiet">{answer.gone}</p>}
      {answer.drawings.map((d, i) => <DrawnFrame key={`${i} ${d.order}`} drawing={d} />)}
      {aims.length > 0 && (
        <>
          <h3>{say("answer.aims")}</h3>
          <ul class="aims">{aims.map((a) => <li key={`${a.pitch} ${a.drill}`}><Aim aim={a} unit={unit} /></li>)}</ul>
        </>
      )}
      {(answer.moves || answer.tell) && (
        <>
          <h3>{say("answer.moves")}</h3>
          {answer.moves && <p>{answer.moves}</p>}
          {answer.tell && <p>{answer.tell}</p>}
        </>
      )}
      {answer.next && (
        <>
          <h3>{say("answer.next", { title: answer.next.title })}</h3>
          {answer.next.note && <p class="words-of-workout">{answer.next.note}</p>}
          <Sets sets={answer.next.sets} drills={page.drills} />
        </>
      )}
      {read.length > 0 && (
        <details class="on-paper" open={read.length <= few}>
          <summary>{say("answer.numbers")}</summary>
          {judged && <p class="quiet">{say("answer.gap")}</p>}
          <div class="numbers" tabIndex={0} role="region" aria-label={say("answer.numbers")}>
            <table>
              <thead><tr><th scope="col">{say("column.rep")}</th><th scope="col">{say("column.pitch")}{seen && `, ${say("column.body")}`}</th><th scope="col" class="figure">{unit}</th>{judged && <th scope="col" class="figure">{say("column.gap")}</th>}</tr></thead>
              <tbody>
                {read.map((r) => (
                  <tr key={r.order}>
                    <th scope="row">{r.order}</th>
                    <td>{pitchName(said, r.pitch)}{r.body && <span class="body-of-rep">{r.body}</span>}<VerdictMark verdict={r.verdict} edgeOf={r.edgeOf} soFar={r.soFar} /></td>
                    <td class="figure">{r.reading?.value ?? ""}</td>
                    {judged && <td class="figure">{r.gap ? gapText(r.gap, unit, false, r.edgeOf !== undefined) : ""}</td>}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          {judged && <p class="quiet">{meanings(read.map((r) => r.verdict), said)}</p>}
        </details>
      )}
      {why?.moment && (
        <details>
          <summary>{say("why.title")}</summary>
          <Why moment={why.moment} pitch={why.pitch} unit={unit} />
        </details>
      )}
    </section>
  );
}

const means: Record<Exclude<Verdict, "">, Key> = { "too firm": "means.tooFirm", "in the band": "means.inTheBand", soft: "means.soft", "too soft": "means.tooSoft" };

/** What the verdicts mean, those that occur. */
function meanings(verdicts: readonly Verdict[], { say }: Said): string {
  return Object.entries(means).filter(([v]) => verdicts.includes(v as Verdict)).map(([, key]) => say(key)).join(" ");
}

function DrawnFrame({ drawing }: { drawing: SlipDrawing }) {
  const { say } = useSaid();
  const [size, setSize] = useState<{ width: number; height: number }>();
  return (
    <figure>
      <div class="frame">
        <img src={drawing.picture} alt={say("answer.drawn", { order: drawing.order })} onLoad={(e) => setSize({ width: e.currentTarget.naturalWidth, height: e.currentTarget.naturalHeight })} />
        {size && <svg viewBox={`0 0 ${size.width} ${size.height}`} aria-hidden="true"><Drawn shapes={drawing.shapes} size={size} /></svg>}
      </div>
      <figcaption>{say("answer.rep", { order: drawing.order })}{notes(drawing)}</figcaption>
    </figure>
  );
}

function notes(drawing: SlipDrawing): string {
  const words = drawing.shapes.map((s) => s.text).filter(Boolean);
  return words.length > 0 ? `: ${words.join("; ")}` : "";
}

function Aim({ aim: a, unit }: { aim: SlipAim; unit: Unit }) {
  const said = useSaid();
  const { say } = said;
  const name = capital(pitchName(said, a.pitch));
  const gap = a.meanGap && gapText(a.meanGap.mph < 0 ? { ...a.meanGap, mph: -a.meanGap.mph, kmh: -a.meanGap.kmh } : a.meanGap, unit, true, a.edgeOf !== undefined);
  return (
    <>
      <p><b>{a.drill ? say("aim.inDrill", { pitch: name, drill: a.drill }) : name}</b>{a.aimSaid && <>: {say("aim.at", { speed: a.aimSaid })}</>}</p>
      {gap && <p>{say(a.meanGap!.mph < 0 ? "aim.over" : "aim.under", { gap })}{a.verdict && <>: <VerdictMark verdict={a.verdict} edgeOf={a.edgeOf} soFar={a.soFar} /></>}</p>}
      {a.body && <p>{a.body}</p>}
      {a.comeBackOnSaid && a.edgeOf !== "in the band" && <p>{say("next.backOn", { speed: a.comeBackOnSaid })}</p>}
    </>
  );
}
