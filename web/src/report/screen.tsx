// One page to print for pitcher and parent.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { BodyCheck, Clock, PitchType, Rep, Sheet, Summary, Unit } from "../api/types";
import { useSheet } from "../api/use-sheet";
import { usePitchTypes } from "../api/use-pitch-types";
import { checkOf, repsOf } from "../bullpen/body";
import { Doubted, doubtedIn } from "../bullpen/doubted";
import { baselineSaid, capital, forPaper, gunSaid, nextFor, say } from "../bullpen/said";
import { BodyMark } from "../parts/body-mark";
import { DeliveryPicture, useDelivery } from "../parts/delivery-sheet";
import { VerdictMark } from "../parts/verdict";
import { BullpenPicture } from "../pictures/bullpen-picture";
import { Target } from "../pictures/target";
import { SplitBar } from "../pictures/split-bar";
import { FrameClock } from "../player/clock";
import { FramePictures } from "../player/frame-pictures";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName } from "../workouts/said";
import { drillKey } from "../words/drill";
import { dayText, gapText, speedText } from "../words/speed";
import { pickStills } from "./stills";
import { useNarrow } from "./use-narrow";

const caution = "Stop for pain, numbness or loss of control or speed; never throw through arm pain. The numbers are guidance and no medical advice: league rules and licensed professionals come first.";

export function ReportScreen({ bullpenId }: { bullpenId: string }) {
  const { sheet, problem } = useSheet(bullpenId);
  const types = usePitchTypes();
  if (!sheet || types.length === 0) return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">Putting the report together …</p>;
  return (
    <>
      <div class="row no-print">
        <button type="button" class="button primary" onClick={() => print()}>Print, or save as PDF</button>
        <Link class="button" to={to.bullpen(bullpenId)}>Back to the bullpen</Link>
      </div>
      <Page sheet={sheet} types={types} />
    </>
  );
}

function Page({ sheet, types }: { sheet: Sheet; types: PitchType[] }) {
  const unit = sheet.pitcher.unit;
  const narrow = useNarrow();
  const delivery = useDelivery(sheet.bullpen.id, sheet.revision);
  const b = sheet.bullpen;
  const judged = forPaper(sheet.summaries, sheet.pitcher.baselinePitch);
  const base = pitchName(types, sheet.pitcher.baselinePitch);
  const guns = new Set(sheet.summaries.map((s) => s.gun));
  const thrown = sheet.reps.length;
  const warm = sheet.reps.filter((r) => r.warmUp).length;
  // One pitch whose body is known has its target; else the readings are drawn as thrown.
  const onTarget = judged.length === 1 && judged[0]!.meanGap && repsOf(sheet, judged[0]!).some((r) => r.body?.legs) ? judged[0] : undefined;
  const said = judged.map((s) => <PitchSaid key={`${s.pitch} ${s.drill} ${s.gun}`} sheet={sheet} summary={s} gunMatters={guns.size > 1} base={base} brief={s === onTarget} />);
  const rules = new Set(judged.flatMap((s) => checkOf(sheet, s)?.split?.rule ?? []));
  const rule = [...rules].map((r) => <p key={r} class="fine">{r}</p>);
  return (
    <article class={`paper${judged.length > 1 ? " crowded" : ""}`} aria-label="Report">
      <header>
        <h1>{sheet.pitcher.label}</h1>
        {sheet.headline && <p class="headline">{sheet.headline}</p>}
        <p>{b.title ? `${b.title}, ` : ""}{dayText(b.day)}. {thrown} {thrown === 1 ? "rep" : "reps"}{warm > 0 ? `, ${warm} of them warm-up` : ""}. {[...guns].map((g) => capital(gunSaid(g))).join("; ")}.</p>
      </header>
      <div class={delivery === null ? "columns" : ""}>
        <div class="words">
          {baselineSaid(sheet.summaries, sheet.pitcher.baselinePitch, base, unit, guns.size > 1).map((line) => <p key={line}>{line}</p>)}
          {judged.length === 1 && said}
          {judged.length === 1 && !onTarget && rule}
          {judged.length === 0 && sheet.summaries.length > 0 && <p>No off-speed pitch was read this time.</p>}
        </div>
        {delivery === null && <Stills sheet={sheet} unit={unit} />}
      </div>
      {judged.length > 1 && <div class="every-pitch">{said}</div>}
      {judged.length > 1 && rule}
      {onTarget
        ? <Target reps={repsOf(sheet, onTarget)} summary={onTarget} check={checkOf(sheet, onTarget)} unit={unit} baseline={base} width={narrow ? 310 : 700} height={narrow ? 290 : 265} />
        : <BullpenPicture reps={sheet.reps} summaries={sheet.summaries} pitchTypes={types} unit={unit} width={narrow ? 310 : 700} height={judged.length > 2 ? 150 : judged.length > 1 ? 200 : 250} />}
      {delivery && <figure class="delivery"><DeliveryPicture facts={delivery} /></figure>}
      <Readings reps={sheet.reps} types={types} unit={unit} />
      {b.note && <section class="said"><h2>From your instructor</h2><p class="note">{b.note}</p></section>}
      <footer><p>{caution}</p></footer>
    </article>
  );
}

/** One off-speed pitch: its gap, what comes next, and the body; brief where the target shows the rest. */
function PitchSaid({ sheet, summary: s, gunMatters, base, brief }: { sheet: Sheet; summary: Summary; gunMatters: boolean; base: string; brief: boolean }) {
  const unit = sheet.pitcher.unit;
  const said = say(s, unit, gunMatters, base, true);
  const doubted = doubtedIn(sheet, s);
  const next = nextFor(s, base, doubted);
  return (
    <section>
      <h2>{said.title}{said.under && <>: {said.under}</>} <VerdictMark verdict={said.verdict} edgeOf={said.edgeOf} soFar={said.soFar} /></h2>
      {[...said.about, ...(brief ? [] : said.lines)].map((l) => <p key={l}>{l}</p>)}
      <Doubted sheet={sheet} reps={doubted} unit={unit} onPaper />
      {next.length > 0 && <p><b>Next:</b> {next.join(" ")}</p>}
      <BodyOnPaper check={checkOf(sheet, s)} unit={unit} brief={brief} />
    </section>
  );
}

/** Whether the body slowed down, in one sentence, and where the gap came from. */
function BodyOnPaper({ check, unit, brief }: { check: BodyCheck | undefined; unit: Unit; brief: boolean }) {
  const narrow = useNarrow();
  if (!check) return null;
  return (
    <>
      <p><b>Body:</b> <BodyMark verdict={check.verdict} on={check.on} /> {check.sentence}{!brief && check.softest && ` ${check.softest}`}{check.next && <> <b>Next:</b> {check.next}</>}</p>
      {!brief && check.split && <SplitBar split={check.split} unit={unit} width={narrow ? 290 : 420} />}
    </>
  );
}

/** Every reading in the order thrown, a line a pitch and drill. */
function Readings({ reps, types, unit }: { reps: Rep[]; types: PitchType[]; unit: Unit }) {
  const lines = new Map<string, { title: string; some: Rep[] }>();
  for (const r of reps) {
    if (!r.judged.speed || r.warmUp) continue;
    const name = types.find((t) => t.code === r.pitch)?.name ?? r.pitch;
    const key = `${r.pitch} ${drillKey(r.drill)}`;
    const line = lines.get(key) ?? { title: r.drill ? `${name}, ${r.drill}` : name, some: [] };
    line.some.push(r);
    lines.set(key, line);
  }
  if (lines.size === 0) return null;
  return (
    <dl class="readings">
      {[...lines].map(([key, { title, some }]) => (
        <div key={key}>
          <dt>{capital(title)} ({unit})</dt>
          <dd>{some.map((r) => <span key={r.id} class={r.judged.verdict === "in the band" ? "in" : ""}>{speedText(r.judged.speed!, unit, false)} </span>)}</dd>
        </div>
      ))}
    </dl>
  );
}

interface Still {
  rep: Rep;
  picture: string;
}

/** Her fastball and her best off-speed pitch at release, side by side. */
function Stills({ sheet, unit }: { sheet: Sheet; unit: Unit }) {
  const [stills, setStills] = useState<Still[]>([]);
  const [problem, setProblem] = useState("");
  const wanted = pickStills(sheet.reps);
  const key = wanted.map((r) => `${r.id} ${r.release}`).join(" ");
  useEffect(() => {
    let live = true;
    void (async () => {
      const out: Still[] = [];
      for (const rep of wanted) {
        try {
          out.push({ rep, picture: await still(rep) });
        } catch (failure) {
          setProblem(sentenceOf(failure));
        }
      }
      if (live) setStills(out);
    })();
    return () => {
      live = false;
    };
  }, [key]);
  if (wanted.length === 0) return null;
  return (
    <div class="stills">
      {stills.map(({ rep, picture }) => (
        <figure key={rep.id}>
          <a href={picture} download={rep.stillName} title="Save this picture"><img src={picture} alt={`Rep ${rep.order}, ${rep.pitchName}, at release`} /></a>
          <figcaption>Rep {rep.order}: {rep.pitchName} at release{rep.judged.speed ? `, ${speedText(rep.judged.speed, unit)}` : ""}{rep.judged.gap && rep.judged.verdict ? ` (${gapText(rep.judged.gap, unit)} under)` : ""}</figcaption>
        </figure>
      ))}
      {problem && <p class="quiet no-print">{problem}</p>}
    </div>
  );
}

async function still(rep: Rep): Promise<string> {
  const clock = new FrameClock((await ask("get", "/api/films/{id}/clock", { path: { id: rep.filmId! } })) as Clock);
  const frame = rep.release!;
  let pictures: FramePictures | undefined;
  try {
    return await new Promise<string>((resolve) => {
      pictures = new FramePictures(360, () => {
        const canvas = pictures?.picture(frame);
        if (canvas) resolve(canvas.toDataURL("image/jpeg", 0.85));
      });
      pictures.open(`/api/films/${rep.filmId}/working.mp4`, clock);
      pictures.want([frame]);
    });
  } finally {
    pictures?.close();
  }
}
