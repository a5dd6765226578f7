// One homework as the instructor sees it: what was asked, what came, her link, what
// went back.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import { listen } from "../api/events";
import type { Homework, PitchType } from "../api/types";
import { usePitchTypes } from "../api/use-pitch-types";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { act } from "../shell/act";
import { say } from "../shell/say";
import { lineText, pitchName, repsText, setName } from "../words/workout";
import { bytesText, momentDayText } from "../words/size";
import { percentText } from "../words/speed";
import { inSetText } from "../words/place";
import { Consents } from "../links/consent";
import { homeworkFacts, movedText } from "./said";
import { HerWords } from "./her-words";
import { Slips } from "./slips";
import { StateMark } from "./state";

export function HomeworkScreen({ id }: { id: string }) {
  const { homework: h, problem, refresh } = useHomework(id);
  const types = usePitchTypes();
  if (!h) return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">Opening the homework …</p>;
  const review = async () => {
    if (h.state === "answered") return navigate(to.filmRoom(h.bullpenId));
    await ask("post", "/api/homework/{id}/review", { path: { id } }).then(
      () => navigate(to.filmRoom(h.bullpenId)),
      (failure: unknown) => say(sentenceOf(failure), true),
    );
  };
  const seen = () => act(ask("post", "/api/homework/{id}/seen", { path: { id }, body: { seen: h.cameAt ?? 1 } }), "Your answer stands.").then(refresh);
  return (
    <>
      <header class="heading">
        <p class="over"><Link to={to.pitcher(h.pitcherId)}>{h.pitcherLabel}</Link>: homework</p>
        <h1>{h.title}</h1>
        <p><StateMark state={h.state} /> <span class="quiet">{homeworkFacts(h)}</span></p>
        {(h.note || h.earlier) && <HerWords note={h.note ?? ""} earlier={h.earlier} sore={h.sore} caution={h.caution} of={h.pitcherLabel} />}
        <div class="row">
          {h.films > 0 && <button type="button" class="button primary" onClick={() => void review()}>{h.sent ? "To the film room" : "Review in the film room"}</button>}
          {h.films === 0 && (h.note || h.earlier) && h.state !== "answered" && <button type="button" class="button primary" onClick={() => void review()}>Answer {h.pitcherLabel}</button>}
          {h.sent && h.state === "new" && <button type="button" class="button" onClick={() => void seen()}>Seen: my answer stands</button>}
          <Link class="button" to={to.bullpen(h.bullpenId)}>Its bullpen</Link>
        </div>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {h.arriving.length > 0 && (
        <section aria-labelledby="arriving">
          <h2 id="arriving">On their way</h2>
          <ul class="cards">
            {h.arriving.map((a) => (
              <li key={a.id} class="card item">
                <h3>{a.name}</h3>
                <p class="quiet">{percentText(a.received / a.bytes)} of {bytesText(a.bytes)}</p>
                <progress class="bar-of-progress" max={a.bytes} value={a.received} aria-label={a.name} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {h.student.readings.length > 0 && <FromHer homework={h} types={types} />}
      <section aria-labelledby="asked">
        <h2 id="asked">What was asked</h2>
        {h.workout.note && <p class="pre">{h.workout.note}</p>}
        <p>{repsText(h.workout.reps)}</p>
        <ul class="sets-said">{h.workout.sets.map((set, i) => <li key={i}><b>{setName(h.workout.sets, i)}:</b> {set.lines.map((line) => lineText(line, types)).join("; ")}</li>)}</ul>
      </section>
      {h.sent && (
        <section aria-labelledby="sent">
          <h2 id="sent">What went back</h2>
          <p class="quiet">{momentDayText(h.sent.sentAt ?? 0)}, {h.sent.clipIds.length} {h.sent.clipIds.length === 1 ? "clip" : "clips"}{h.sent.next ? `, next: ${h.sent.next.title}` : ""}</p>
          {h.moved && <p class="notice">{movedText}</p>}
          <p class="pre">{h.sent.words}</p>
        </section>
      )}
      <Slips homework={h} refresh={refresh} />
      <Consents pitcherId={h.pitcherId} />
    </>
  );
}

function FromHer({ homework: { student, workout }, types }: { homework: Homework; types: readonly PitchType[] }) {
  return (
    <section aria-labelledby="from-her">
      <h2 id="from-her">Readings she typed</h2>
      <p>
        {student.readings.map((r) => {
          const place = workout.places[r.place];
          return `${place ? `${inSetText(place.set, place.number)}, ${pitchName(types, place.pitch)} ` : ""}${r.value} ${r.unit}`;
        }).join("; ")}{student.gun ? `. Gun ${student.gun}` : ""}. In the film room one key puts them beside their reps.
      </p>
    </section>
  );
}

export function useHomework(id: string | undefined) {
  const [homework, setHomework] = useState<Homework>();
  const [problem, setProblem] = useState("");
  const refresh = useCallback(() => {
    if (!id) return;
    ask("get", "/api/homework/{id}", { path: { id } }).then(
      (fresh) => {
        setHomework(fresh);
        setProblem("");
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, [id]);
  useEffect(() => {
    setHomework(undefined);
    refresh();
    const off = [listen("bullpen", refresh), listen("again", refresh)];
    return () => off.forEach((stop) => stop());
  }, [refresh]);
  return { homework, problem, refresh, setHomework };
}
