// Two reps side by side, in step on one clock: the off-speed pitch beside the
// pitcher's own fastball.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { RefObject } from "preact";
import { ask, sentenceOf } from "../api/client";
import type { Clip, Clock, Pair, PairSide } from "../api/types";
import { listen } from "../api/events";
import { Bones, Skeleton } from "../pictures/skeleton";
import { Stops } from "../parts/stops";
import { VerdictMark } from "../parts/verdict";
import { FrameClock } from "../player/clock";
import { FilmPlayer } from "../player/film-player";
import { JointsLayer, poseAt } from "../player/joints";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText, percentText, speedText, underText } from "../words/speed";
import { differenceText } from "./difference";
import { OneClock, type ClockSide } from "./one-clock";
import { fitted, overlay, type Overlay } from "./overlay";
import { countedFrom, instantNames, type InstantName, type Moments } from "./phases";
import { clockText, frameAt, next, previous, span, type Side } from "./step";
import { Times } from "./times";

/** How the two pictures lie. */
type Lay = "beside" | Overlay;
const lays: readonly Lay[] = ["beside", "blended", "difference"];
const layWords: Record<Lay, string> = { beside: "side by side", blended: "one over the other", difference: "only what differs" };

const speeds = [1, 0.5, 0.25, 0.125];
const speedWords: Record<number, string> = { 1: "full speed", 0.5: "half speed", 0.25: "quarter speed", 0.125: "eighth speed" };

export function SideBySideScreen({ off, fast }: { off: string; fast?: string }) {
  const [look, setLook] = useState<Pair>();
  const [problem, setProblem] = useState("");
  useEffect(() => {
    setLook(undefined);
    setProblem("");
    const gone = new AbortController();
    ask("get", "/api/pairs", { query: { off, ...(fast ? { fast } : {}) }, signal: gone.signal }).then(setLook, (failure) => {
      if (!gone.signal.aborted) setProblem(sentenceOf(failure));
    });
    return () => gone.abort();
  }, [off, fast]);
  if (problem) return <><h1>Side by side</h1><p class="notice alarm" role="alert">{problem}</p></>;
  if (!look) return <><h1>Side by side</h1><p class="quiet">Opening both reps …</p></>;
  return <Pair key={`${look.off.rep.id} ${look.fast.rep.id}`} look={look} />;
}

function useClock(filmId: string): [FrameClock | undefined, string] {
  const [clock, setClock] = useState<FrameClock>();
  const [problem, setProblem] = useState("");
  useEffect(() => {
    ask("get", "/api/films/{id}/clock", { path: { id: filmId } }).then((c: Clock) => setClock(new FrameClock(c)), (f) => setProblem(sentenceOf(f)));
  }, [filmId]);
  return [clock, problem];
}

function Pair({ look }: { look: Pair }) {
  const [offClock, offProblem] = useClock(look.off.film.id);
  const [fastClock, fastProblem] = useClock(look.fast.film.id);
  const problem = offProblem || fastProblem;
  if (problem) return <p class="notice alarm" role="alert">{problem}</p>;
  if (!offClock || !fastClock) return <p class="quiet">Opening both films …</p>;
  return <Stage look={look} offClock={offClock} fastClock={fastClock} />;
}

function Stage({ look, offClock, fastClock }: { look: Pair; offClock: FrameClock; fastClock: FrameClock }) {
  const [align, setAlign] = useState<InstantName>("release");
  const [speed, setSpeed] = useState(0.25);
  const [lay, setLay] = useState<Lay>("beside");
  const [stretched, setStretched] = useState(false);
  const [mix, setMix] = useState(50);
  const [swapped, setSwapped] = useState(false);
  const [playing, setPlaying] = useState(false);
  const [, tell] = useState(0);
  const [joints] = useState(() => new JointsLayer(() => tell((n) => n + 1)));
  const [at, setAt] = useState(0);
  const time = useRef(0);
  const offVideo = useRef<HTMLVideoElement>(null);
  const fastVideo = useRef<HTMLVideoElement>(null);
  const over = useRef<HTMLCanvasElement>(null);
  const players = useRef<FilmPlayer[]>([]);
  const [shown, setShown] = useState<[number, number]>([-1, -1]);
  const [dark, setDark] = useState("");

  const known = useMemo<[Moments, Moments]>(() => [momentsOf(look.off), momentsOf(look.fast)], [look]);
  const tempo = (stretched && look.stretch) || 1;
  const sides = useMemo<[Side, Side]>(
    () => [
      { clock: offClock, zero: zeroOf(look.off, align), tempo },
      { clock: fastClock, zero: zeroOf(look.fast, align), tempo: 1 },
    ],
    [look, offClock, fastClock, align, tempo],
  );
  const range = useMemo(() => span(sides), [sides]);

  /** Lays the two pictures over each other as they are now. */
  const drawOver = useRef(() => {});
  drawOver.current = () => {
    if (lay !== "beside" && over.current && offVideo.current && fastVideo.current) overlay(over.current, offVideo.current, fastVideo.current, lay, mix / 100);
  };
  useLayoutEffect(() => {
    drawOver.current();
    // Some browsers have no picture of a film at hand in the moment in which it gives up
    // its place on the page: then the first drawing lacks it.
    const soon = requestAnimationFrame(() => drawOver.current());
    const later = setTimeout(() => drawOver.current(), 200);
    return () => {
      cancelAnimationFrame(soon);
      clearTimeout(later);
    };
  }, [lay, mix]);

  useLayoutEffect(() => {
    const open = (video: HTMLVideoElement, index: 0 | 1, filmId: string, clock: FrameClock) => {
      const player = new FilmPlayer(video, {
        painted: (frame) => {
          drawOver.current();
          setShown((now) => (index === 0 ? [frame, now[1]] : [now[0], frame]));
        },
        failed: setDark,
      });
      player.load(`/api/films/${filmId}/working.mp4`, clock);
      return player;
    };
    if (!offVideo.current || !fastVideo.current) return;
    const both = [open(offVideo.current, 0, look.off.film.id, offClock), open(fastVideo.current, 1, look.fast.film.id, fastClock)];
    players.current = both;
    return () => both.forEach((p) => p.close());
  }, []);

  /** Sends both pictures to a time; the films follow as fast as they can. */
  const go = (seconds: number) => {
    time.current = Math.min(Math.max(seconds, range.from), range.to);
    setAt(time.current);
    players.current.forEach((p, i) => p.seek(frameAt(sides[i]!, time.current)));
  };
  useLayoutEffect(() => go(time.current), [sides]);

  // Playing: never on to the next pictures before both of the last ones are on the
  // screen, so the two can't drift apart; a slow machine shows fewer pictures.
  useEffect(() => {
    if (!playing) return;
    let live = true;
    const play = async () => {
      if (time.current >= range.to - 1e-6) go(range.from);
      await Promise.all(players.current.map((p) => p.settled()));
      let last = performance.now();
      while (live) {
        await new Promise(requestAnimationFrame);
        const now = performance.now();
        const to = time.current + ((now - last) / 1000) * speed;
        last = now;
        if (to >= range.to) {
          go(range.to);
          setPlaying(false);
          return;
        }
        go(to);
        await Promise.all(players.current.map((p) => p.settled()));
      }
    };
    void play();
    return () => {
      live = false;
    };
  }, [playing, speed, sides]);

  const step = (n: number) => {
    setPlaying(false);
    let t = time.current;
    for (let i = 0; i < Math.abs(n); i++) t = n > 0 ? next(sides, t) : previous(sides, t);
    go(t);
  };
  const keys: Record<string, () => void> = {
    " ": () => setPlaying((p) => !p),
    ArrowRight: () => step(1),
    ArrowLeft: () => step(-1),
    ArrowUp: () => step(10),
    ArrowDown: () => step(-10),
    Home: () => { setPlaying(false); go(range.from); },
    "0": () => { setPlaying(false); go(0); },
    o: () => setLay((now) => lays[(lays.indexOf(now) + 1) % lays.length]!),
    t: () => setStretched((v) => look.stretch !== undefined && !v),
    x: () => setSwapped((v) => !v),
    O: () => joints.toggle(),
    "1": () => setSpeed(1),
    "2": () => setSpeed(0.5),
    "4": () => setSpeed(0.25),
    "8": () => setSpeed(0.125),
  };
  const latest = useRef(keys);
  latest.current = keys;
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (event.ctrlKey || event.metaKey || event.altKey || target.closest("input, select, textarea, dialog")) return;
      if (event.key === " " && target.closest("button, a, summary")) return;
      const doIt = latest.current[event.key] ?? latest.current[event.key.toLowerCase()];
      if (!doIt) return;
      event.preventDefault();
      doIt();
    };
    addEventListener("keydown", press);
    return () => removeEventListener("keydown", press);
  }, []);

  const able = instantNames.filter((i) => known[0][i] !== undefined && known[1][i] !== undefined);
  /** Both stand at an instant, and go on from there in step. */
  const meet = (i: InstantName) => {
    setPlaying(false);
    if (i === align) return go(0);
    time.current = 0; // both go there once they are aligned at it
    setAlign(i);
  };
  const clockSides = [look.off, look.fast].map((side, i): ClockSide => {
    const zero = known[i]![align] ?? 0;
    const { tempo } = sides[i]!;
    return { label: nameOf(side), times: timesText(look, i), stretched: tempo !== 1, moments: countedFrom(known[i]!, zero, tempo), motion: side.motion, fromRelease: (t) => (t - zero) / tempo };
  }) as [ClockSide, ClockSide];
  const how = (
    <>
      <label class="field"><span>Speed</span>
        <select class="input" value={String(speed)} onChange={(e) => setSpeed(Number(e.currentTarget.value))}>
          {speeds.map((s) => <option key={s} value={String(s)}>{speedWords[s]}</option>)}
        </select>
      </label>
      <label class="field"><span>Pictures <kbd>O</kbd></span>
        <select class="input" value={lay} onChange={(e) => setLay(e.currentTarget.value as Lay)}>{lays.map((l) => <option key={l} value={l}>{layWords[l]}</option>)}</select>
      </label>
      {lay === "blended" && <label class="field"><span>More of the fastball</span><input class="slide" type="range" min="0" max="100" value={mix} onInput={(e) => setMix(Number(e.currentTarget.value))} /></label>}
      <button type="button" class="button" onClick={() => setSwapped(!swapped)}>Swap <kbd>X</kbd></button>
      {(look.off.rep.seen || look.fast.rep.seen) && <button type="button" class="button" aria-pressed={joints.on} title="Her joints over both pictures; how far her trunk leans, and how wide her hips look of their widest" onClick={() => joints.toggle()}>Her joints <kbd>⇧</kbd><kbd>O</kbd></button>}
      {look.stretch !== undefined && <button type="button" class="button" aria-pressed={stretched} title="Plays this pitch at the fastball's tempo, so that only the shape of the two differs" onClick={() => setStretched(!stretched)}>At the fastball’s tempo <kbd>T</kbd></button>}
    </>
  );
  const poses = [poseOf(joints, look.off, shown[0]), poseOf(joints, look.fast, shown[1])] as const;
  return (
    <>
      <header class="heading">
        <p class="over"><Link to={to.bullpen(look.off.rep.bullpenId)}>Side by side</Link>: {nameOf(look.off)} and {nameOf(look.fast)}</p>
        <h1 class="headline">{differenceText(look.off.rep.pitchName, look.phases) || "Side by side"}</h1>
      </header>
      {dark && <p class="notice alarm" role="alert">{dark}</p>}
      <div class={`side-stage${lay !== "beside" ? " overlaid" : ""}${swapped ? " swapped" : ""}`}>
        {lay !== "beside" && (
          <div class="overlay-picture">
            <canvas ref={over} role="img" aria-label={`Both films, ${layWords[lay]}`} />
            <BothSkeletons sides={[look.off, look.fast]} poses={poses} />
          </div>
        )}
        <SideView side={look.off} video={offVideo} frame={shown[0]} pose={poses[0]} drawn={lay === "beside"} />
        <SideView side={look.fast} video={fastVideo} frame={shown[1]} pose={poses[1]} drawn={lay === "beside"} />
      </div>
      <div class="times">
        <output class="one-clock" aria-label={`Time from ${align}`}>{clockText(at)}</output>
        <span class="quiet">from {align}</span>
        <input
          class="slide" type="range" min={range.from} max={range.to} step="any" value={at} aria-label="Time of both" aria-valuetext={clockText(at)}
          onInput={(e) => { setPlaying(false); go(Number(e.currentTarget.value)); }}
        />
      </div>
      <div class="row side-controls">
        <button type="button" class="button primary" onClick={() => setPlaying(!playing)}>{playing ? "Pause" : "Play both"} <kbd>space</kbd></button>
        <button type="button" class="button" onClick={() => step(-1)} aria-label="One picture back">Back <kbd>←</kbd></button>
        <button type="button" class="button" onClick={() => step(1)} aria-label="One picture on">On <kbd>→</kbd></button>
        {able.length > 1
          ? <Stops label="Both at the same instant, and on from there in step" stops={instantNames.map((i) => ({ name: i, here: i === align && Math.abs(at) < 1e-6, title: able.includes(i) ? `Both at ${i}${i === align ? ": key 0" : ""}` : `${i}: not known of both`, go: able.includes(i) ? () => meet(i) : undefined }))} />
          : <button type="button" class="button" onClick={() => { setPlaying(false); go(0); }}>To {align} <kbd>0</kbd></button>}
        <details class="depth"><summary>How it plays</summary><div class="row side-controls">{how}</div></details>
      </div>
      <OneClock sides={clockSides} now={at} align={align} onGo={(t) => { setPlaying(false); go(t); }} />
      <Times look={look} />
      <Choose look={look} />
      <SavePair look={look} speed={speed} lay={lay} stretched={stretched} />
    </>
  );
}

/** A side's instants in real seconds from its release, as far as they are known. */
function momentsOf({ instants }: PairSide): Moments {
  const out: Moments = {};
  for (const i of instantNames) if (instants[i]) out[i] = instants[i].seconds;
  return out;
}

/** The frame at which a side is aligned. */
function zeroOf({ instants, rep }: PairSide, align: InstantName): number {
  return (align !== "release" && instants[align]?.frame) || (rep.release ?? 0);
}

/** A side's times of legs and arm: "legs 526 ms, arm 130 ms". */
function timesText(look: Pair, side: number): string {
  const of = (from: InstantName, to: InstantName) => look.phases.find((p) => p.from === from && p.to === to);
  return ([["legs", of("drive", "plant")], ["arm", of("top", "release")]] as const)
    .flatMap(([name, p]) => (p ? [`${name} ${side === 0 ? p.offShown : p.fastShown} ms`] : []))
    .join(", ");
}

const nameOf = ({ rep }: PairSide): string => `${rep.order}. ${rep.pitchName}`;

type Pose = NonNullable<ReturnType<typeof poseAt>>;

/** Where her joints are on a side's frame, while they are to be seen. */
function poseOf(joints: JointsLayer, { film }: PairSide, frame: number): Pose | undefined {
  if (!joints.on || frame < 0) return undefined;
  const run = joints.at(film.id, frame, 0);
  return run && poseAt(run, frame);
}

/** Both sides' joints over the pictures that lie over each other: the second as it is fitted into the first. */
function BothSkeletons({ sides: [first, second], poses }: { sides: readonly [PairSide, PairSide]; poses: readonly [Pose | undefined, Pose | undefined] }) {
  if (!poses[0] && !poses[1]) return null;
  const { width, height } = first.film;
  const [x, y, w, h] = fitted(second.film.width, second.film.height, width, height);
  return (
    <svg class="skeleton" viewBox={`0 0 ${width} ${height}`} role="img" aria-label="Her joints on both pictures">
      {poses[0] && <Bones film={first.film} pose={poses[0]} />}
      {poses[1] && <svg class="second" x={x} y={y} width={w} height={h} viewBox={`0 0 ${second.film.width} ${second.film.height}`}><Bones film={second.film} pose={poses[1]} numbers="left" /></svg>}
    </svg>
  );
}

function SideView({ side, video, frame, pose, drawn }: { side: PairSide; video: RefObject<HTMLVideoElement | null>; frame: number; pose: Pose | undefined; drawn: boolean }) {
  const { rep } = side;
  const unit = rep.reading?.unit ?? "mph";
  const released = rep.release !== undefined && frame >= rep.release;
  return (
    <figure class="side" data-frame={frame}>
      <div class="moving">
        <video ref={video} muted playsInline style={{ aspectRatio: `${side.film.width} / ${side.film.height}` }} aria-label={`Film of rep ${rep.order}, ${rep.pitchName}`} />
        {pose && drawn && <Skeleton film={side.film} pose={pose} />}
      </div>
      <figcaption>
        <b>{nameOf(side)}</b>
        <span>{rep.judged.speed ? speedText(rep.judged.speed, unit) : "no reading"}</span>
        {rep.judged.gap && rep.judged.verdict !== "" && <span>{underText(rep.judged.gap, unit, rep.judged.onEdge)}</span>}
        <VerdictMark verdict={rep.judged.verdict} edgeOf={rep.judged.edgeOf} soFar={rep.judged.soFar} />
        <span class={`released${released ? " on" : ""}`}>{released ? "released" : "before release"}</span>
        {pose?.lean !== undefined && <span>trunk {pose.lean < 0 ? "−" : ""}{Math.abs(pose.lean)}°{pose.hips !== undefined && `, hips ${pose.hips} %`}</span>}
      </figcaption>
    </figure>
  );
}

/** Other reps to look at instead. */
function Choose({ look }: { look: Pair }) {
  const line = (s: PairSide) => `${s.rep.order}. ${s.rep.pitchName}${s.rep.judged.speed ? `, ${speedText(s.rep.judged.speed, s.rep.reading?.unit ?? "mph")}` : ""} (${dayText(s.day)})`;
  const choices = (mine: PairSide, others: Pair["offChoices"]) => (
    others.some((o) => o.repId === mine.rep.id) ? others : [{ repId: mine.rep.id, label: line(mine) }, ...others]
  );
  return (
    <div class="row choose">
      <label class="field"><span>This pitch</span>
        <select class="input" value={look.off.rep.id} onChange={(e) => navigate(to.sideBySide(e.currentTarget.value, look.fast.rep.id), true)}>
          {choices(look.off, look.offChoices).map((c) => <option key={c.repId} value={c.repId}>{c.label}</option>)}
        </select>
      </label>
      <label class="field"><span>beside</span>
        <select class="input" value={look.fast.rep.id} onChange={(e) => navigate(to.sideBySide(look.off.rep.id, e.currentTarget.value), true)}>
          {choices(look.fast, look.fastChoices).map((c) => <option key={c.repId} value={c.repId}>{c.label}</option>)}
        </select>
      </label>
      <Link class="button" to={to.bullpen(look.off.rep.bullpenId)}>To the bullpen</Link>
    </div>
  );
}

interface SaveProps {
  look: Pair;
  speed: number;
  lay: Lay;
  stretched: boolean;
}

/** Saves what is on show as one film. */
function SavePair({ look, speed, lay, stretched }: SaveProps) {
  const [clip, setClip] = useState<Clip>();
  const [times, setTimes] = useState(true);
  const [drawings, setDrawings] = useState(false);
  const [lines, setLines] = useState(false);
  const known = look.phases.length > 0;
  const save = () => {
    const body = {
      offRepId: look.off.rep.id, fastRepId: look.fast.rep.id, speed,
      blend: lay === "blended", difference: lay === "difference", stretch: stretched, phases: known && times, body: known && times, drawings, lines,
    };
    ask("post", "/api/pairs", { body }).then(setClip, (f) => say(sentenceOf(f), true));
  };
  const how = [speedWords[speed], lay === "beside" ? "" : layWords[lay], stretched ? "at the fastball’s tempo" : ""].filter(Boolean).join(", ");
  useEffect(() => {
    if (!clip || clip.state === "ready") return;
    const again = () => void ask("get", "/api/clips/{id}", { path: { id: clip.id } }).then(setClip, () => {});
    const off = listen("job", (job) => {
      if (job.subject !== clip.id) return;
      if (job.state === "running") setClip({ ...clip, state: "rendering", progress: job.progress });
      else again();
    });
    return off;
  }, [clip?.id, clip?.state]);
  return (
    <div class="row" role="status">
      <button type="button" class="button" onClick={save}>Save as one film ({how})</button>
      {known && <label class="check"><input type="checkbox" checked={times} onChange={(e) => setTimes(e.currentTarget.checked)} /> with the times under the pictures</label>}
      <label class="check"><input type="checkbox" checked={drawings} onChange={(e) => setDrawings(e.currentTarget.checked)} /> with what is drawn on the frames</label>
      {(look.off.rep.seen || look.fast.rep.seen) && <label class="check"><input type="checkbox" checked={lines} onChange={(e) => setLines(e.currentTarget.checked)} /> with lines of her trunk and hips</label>}
      {clip && clip.state === "ready" && <a class="button primary" href={`/api/clips/${clip.id}/file.mp4`} download={clip.fileName}>Download the film</a>}
      {clip && (clip.state === "queued" || clip.state === "rendering") && (
        <><progress class="bar-of-progress narrow" aria-label="Saving" value={clip.progress ?? 0} /><span class="quiet">being made, {percentText(clip.progress ?? 0)}</span></>
      )}
      {clip && clip.state === "failed" && <span class="notice alarm">{clip.problem}</span>}
    </div>
  );
}
