// "Mark again, blind": five reps without the marks they have, one after another.
// How far the second marks lie from the first says how closely the instructor
// marks, and that is reckoned with from then on.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Eye, RemarkTask } from "../api/types";
import { HoldButton } from "../film-room/hold-button";
import { FrameClock } from "../player/clock";
import { FilmPlayer } from "../player/film-player";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { instantNames, type InstantName } from "../side-by-side/phases";
import { eyeText, eyeWords } from "../words/body";
import { sense } from "../words/instants";
import { answer, begin, isOver, mark, missing, onward, rep, within, type Exercise } from "./exercise";

export function AgainScreen({ bullpenId }: { bullpenId: string }) {
  const [task, setTask] = useState<RemarkTask>();
  const [problem, setProblem] = useState("");
  const [round, setRound] = useState(0);
  useEffect(() => {
    setTask(undefined);
    ask("get", "/api/bullpens/{id}/remark", { path: { id: bullpenId } }).then(setTask, (failure) => setProblem(sentenceOf(failure)));
  }, [bullpenId, round]);
  const back = <Link class="button" to={to.filmRoom(bullpenId)}>Back to the film room</Link>;
  return (
    <>
      <h1>Mark again, blind</h1>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {!task && !problem && <p class="quiet">Choosing five reps …</p>}
      {task?.sentence && <><p class="notice">{task.sentence}</p><p class="quiet">{eyeText(task.eye)}</p><div class="row">{back}</div></>}
      {task && task.reps.length > 0 && <Marking key={round} task={task} back={back} again={() => setRound(round + 1)} />}
    </>
  );
}

interface MarkingProps {
  task: RemarkTask;
  back: preact.VNode;
  again: () => void;
}

function Marking({ task, back, again }: MarkingProps) {
  const [exercise, setExercise] = useState<Exercise>(() => begin(task.reps));
  const [eye, setEye] = useState<Eye>();
  const [problem, setProblem] = useState("");
  const next = () => {
    const after = onward(exercise);
    setExercise(after);
    if (!isOver(after)) return;
    ask("put", "/api/eye", { body: { reps: answer(after) } }).then(setEye, (failure) => setProblem(sentenceOf(failure)));
  };
  if (isOver(exercise)) {
    return (
      <section class="card stack" aria-live="polite">
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        {!eye && !problem && <p class="quiet">Comparing …</p>}
        {eye && <>{eye.known && <p class="says">{eyeWords(eye)}</p>}<p>{eyeText(eye)}</p></>}
        <div class="row">
          <button type="button" class="button" onClick={again}>Once more</button>
          {eye?.known && <button type="button" class="button" onClick={() => void ask("delete", "/api/eye").then(setEye, (failure) => setProblem(sentenceOf(failure)))}>Forget it</button>}
          {back}
        </div>
      </section>
    );
  }
  return <OneRep key={exercise.at} exercise={exercise} onMark={(i, frame) => setExercise((e) => mark(e, i, frame))} onNext={next} />;
}

interface OneRepProps {
  exercise: Exercise;
  onMark: (instant: InstantName, frame: number) => void;
  onNext: () => void;
}

/** One rep: step, mark, on. Frame numbers are not shown, so that nobody can go by them. */
function OneRep({ exercise, onMark, onNext }: OneRepProps) {
  const now = rep(exercise)!;
  const open = missing(exercise);
  const done = exercise.marks[exercise.at]!;
  const video = useRef<HTMLVideoElement>(null);
  const player = useRef<FilmPlayer | undefined>(undefined);
  const wanted = useRef(now.from);
  const [ready, setReady] = useState(false);
  useLayoutEffect(() => {
    let live = true;
    const p = new FilmPlayer(video.current!, { painted: () => live && setReady(true), failed: (sentence) => say(sentence, true) });
    player.current = p;
    ask("get", "/api/films/{id}/clock", { path: { id: now.filmId } }).then(
      (clock) => {
        if (!live) return;
        p.load(`/api/films/${now.filmId}/working.mp4`, new FrameClock(clock));
        p.seek(now.from);
      },
      (failure) => say(sentenceOf(failure), true),
    );
    return () => {
      live = false;
      p.close();
    };
  }, []);
  const step = (frames: number) => {
    wanted.current = within(exercise, wanted.current + frames);
    player.current?.seek(wanted.current);
  };
  const place = async (instant: InstantName) => {
    if (!now.instants?.includes(instant)) return;
    const frame = await player.current?.settled();
    if (frame === undefined || frame < 0) return;
    onMark(instant, frame);
    say(`${instant} is marked.`);
  };
  const keys: Record<string, () => void> = {
    ArrowRight: () => step(1), ArrowLeft: () => step(-1),
    Enter: () => open.length === 0 && onNext(),
    ...Object.fromEntries(instantNames.map((instant, i) => [String(i + 1), () => void place(instant)])),
  };
  const latest = useRef(keys);
  latest.current = keys;
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (event.ctrlKey || event.metaKey || event.altKey || target.closest("input, select, textarea, dialog")) return;
      if (event.key === "Enter" && target.closest("button, a")) return;
      if (event.shiftKey && event.key === "ArrowRight") step(10);
      else if (event.shiftKey && event.key === "ArrowLeft") step(-10);
      else if (latest.current[event.key]) latest.current[event.key]!();
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", press);
    return () => removeEventListener("keydown", press);
  }, []);
  return (
    <section class="exercise" aria-label={`Rep ${exercise.at + 1} of ${exercise.reps.length}`}>
      <p>Rep {exercise.at + 1} of {exercise.reps.length}: <b>{now.label.replace(/^\d+\. /, "")}</b>. Mark {listed(now.instants ?? [])} as if for the first time; your earlier marks are hidden. How far the new ones lie from them is how sure your marks are.</p>
      <p class="quiet">{(now.instants ?? []).map((i) => `${i}: ${sense[i as keyof typeof sense]}`).join("; ")}.</p>
      <video ref={video} muted playsInline data-ready={ready} aria-label={`Film of rep ${exercise.at + 1} of the exercise`} />
      <div class="row">
        <HoldButton label="−10: ten frames back" onPress={() => step(-10)}>−10</HoldButton>
        <HoldButton label="−1: one frame back" onPress={() => step(-1)}>−1</HoldButton>
        <HoldButton label="+1: one frame on" onPress={() => step(1)}>+1</HoldButton>
        <HoldButton label="+10: ten frames on" onPress={() => step(10)}>+10</HoldButton>
      </div>
      <div class="row">
        {(now.instants ?? []).map((instant) => (
          <button key={instant} type="button" class="button" aria-pressed={done[instant] !== undefined} disabled={!ready} onClick={() => void place(instant)}>
            {instant}{done[instant] !== undefined && " ✓"} <kbd>{instantNames.indexOf(instant) + 1}</kbd>
          </button>
        ))}
        <button type="button" class={`button${open.length === 0 ? " primary" : ""}`} onClick={onNext}>{open.length === 0 ? "Next" : `Can’t see ${open.length === 1 ? `the ${open[0]}` : "the rest"}: next`} {open.length === 0 && <kbd>Enter</kbd>}</button>
      </div>
    </section>
  );
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? `the ${words[0] ?? ""}` : `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}
