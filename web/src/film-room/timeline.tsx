// The reps of the film on one line, above the picture; its motion and sound under them on a
// touch. Click or drag to go there; wheel, pinch or keys to look closer.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Film, Sheet, Traces } from "../api/types";
import { useWidth } from "../pictures/use-width";
import type { FrameClock } from "../player/clock";
import { instants } from "./core/change";
import { placeOf } from "./core/found";
import type { Row } from "./core/ledger";
import { unexplained, walkBack } from "./core/room";
import { pan, reveal, toTime, whole, zoom, type Span } from "./core/span";
import { useOffice } from "./office";
import { timeText } from "./said";
import { flagAt, highOf, inkOf, paintGround, paintMarks, rows, secondsPerPixel, type Flag, type Hint } from "./timeline-paint";
import { useWatched } from "./watch";

/** One press of a zoom button or key. */
const zoomStep = 1.6;

/** What the room's keys may ask of the timeline. */
export interface TimelineHandle {
  zoom(by: number): void;
  whole(): void;
}

interface Props {
  handle: { current: TimelineHandle | undefined };
}

export function Timeline({ handle }: Props) {
  const office = useOffice();
  const { room, changes, ledger } = office;
  const film = useWatched(changes, () => office.film);
  const clock = useWatched(changes, () => office.clock);
  const frame = useWatched(changes, () => room.state.frame);
  const chosen = useWatched(changes, () => room.state.chosen);
  const all = useWatched(changes, () => ledger.rows());
  const [box, width] = useWidth<HTMLDivElement>();
  const seconds = clock?.seconds ?? film?.seconds ?? 0;
  const [span, setSpan] = useState<Span>(() => whole(seconds));
  const ground = useRef<HTMLCanvasElement>(null);
  const marks = useRef<HTMLCanvasElement>(null);
  const open = useWatched(changes, () => office.traces);
  const traces = useTraces(open ? film : undefined);
  const high = highOf(open);
  const theme = useTheme();
  const now = clock?.fileSeconds(frame) ?? 0;
  const flags = useMemo(() => (film && clock ? flagsOf(all, film.id, clock, chosen) : []), [all, film?.id, clock, chosen]);

  const proposals = useWatched(changes, () => office.sheet.proposals);
  const hints = useMemo(() => (film && clock ? hintsOf(proposals, film.id, clock) : []), [proposals, film?.id, clock]);

  useLayoutEffect(() => setSpan(whole(seconds)), [film?.id, seconds]);
  useLayoutEffect(() => setSpan((s) => reveal(s, now, seconds)), [now, seconds]);

  const zoomBy = (factor: number, at = now) => setSpan((s) => zoom(s, factor, at, seconds));
  handle.current = { zoom: (by) => zoomBy(by > 0 ? zoomStep : 1 / zoomStep), whole: () => setSpan(whole(seconds)) };

  useLayoutEffect(() => {
    const g = contextOf(ground.current, width, high);
    if (!g || !film || !ground.current) return;
    paintGround(g, width, inkOf(ground.current), {
      span, seconds, motion: traces?.motion, sound: film.hasSound ? traces?.sound : undefined,
      hasSound: film.hasSound, reading: film.state === "reading", traces: open,
    });
  }, [span, seconds, width, traces, theme, film, open]);

  useLayoutEffect(() => {
    const g = contextOf(marks.current, width, high);
    if (g && marks.current) paintMarks(g, width, inkOf(marks.current), span, flags, hints, now, open);
  }, [span, width, flags, hints, now, theme, open]);

  const touch = useTouch({ span, width, seconds, setSpan, go: (time) => clock && room.go(clock.at(time)), pick: (x, y) => {
    const flag = flagAt(flags, span, width, x, y);
    if (flag) room.choose(flag.key);
    return flag !== undefined;
  } });

  useLayoutEffect(() => {
    const element = marks.current;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const x = event.clientX - (element?.getBoundingClientRect().left ?? 0);
      const sideways = event.shiftKey ? event.deltaY || event.deltaX : event.deltaX;
      if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
        setSpan((s) => pan(s, sideways * secondsPerPixel(s, width), seconds));
      } else {
        setSpan((s) => zoom(s, Math.exp(-event.deltaY / 300), toTime(s, x, width), seconds));
      }
    };
    element?.addEventListener("wheel", wheel, { passive: false });
    return () => element?.removeEventListener("wheel", wheel);
  }, [width, seconds]);

  if (!film) return null;
  return (
    <div class="timeline">
      <div
        ref={box}
        class="timeline-place"
        role="slider"
        tabIndex={0}
        aria-label="Place in the film"
        aria-valuemin={0}
        aria-valuemax={(clock?.frames ?? 1) - 1}
        aria-valuenow={frame}
        aria-valuetext={`frame ${frame}, ${timeText(now)}`}
        style={{ height: `${high}px` }}
        {...touch}
      >
        <canvas ref={ground} aria-hidden="true" />
        <canvas ref={marks} aria-hidden="true" />
      </div>
    </div>
  );
}

function flagsOf(all: readonly Row[], film: string, clock: FrameClock, chosen: string | undefined): Flag[] {
  return all
    .filter(({ rep }) => rep.filmId === film && instants.some((i) => rep[i] !== undefined))
    .map(({ key, rep }) => ({
      key,
      label: String(rep.order),
      seconds: clock.fileSeconds(rep.release ?? rep.top ?? rep.plant ?? rep.drive ?? 0),
      chosen: key === chosen,
      others: instants
        .filter((i) => i !== "release" && placeOf(rep, i) !== undefined)
        .map((i) => ({ seconds: clock.fileSeconds(placeOf(rep, i)!), kind: rep[i] !== undefined ? "marked" : rep.found?.[i].within ? "found" : "unsure" })),
    }));
}

function hintsOf(proposals: Sheet["proposals"], film: string, clock: FrameClock): Hint[] {
  return proposals
    .filter((p) => p.filmId === film && p.reason !== walkBack)
    .map((p) => ({
      from: clock.fileSeconds(p.from),
      to: clock.fileSeconds(p.to),
      seconds: clock.fileSeconds(p.release),
      rough: p.rough || p.vague,
      kind: p.state === "thrown out" ? "out" : p.reason === unexplained ? "faint" : p.sure ? "sure" : "asked",
    }));
}

/** A context scaled to the screen's pixels. */
function contextOf(canvas: HTMLCanvasElement | null, width: number, high: number): CanvasRenderingContext2D | null {
  if (!canvas) return null;
  const scale = devicePixelRatio || 1;
  const [w, h] = [Math.round(width * scale), Math.round(high * scale)];
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
  }
  const g = canvas.getContext("2d");
  g?.setTransform(scale, 0, 0, scale, 0, 0);
  return g;
}

interface Touch {
  span: Span;
  width: number;
  seconds: number;
  setSpan: (change: (span: Span) => Span) => void;
  go: (time: number) => void;
  pick: (x: number, y: number) => boolean;
}

/** One pointer scrubs, or moves the ruler; two zoom and move. */
function useTouch({ span, width, seconds, setSpan, go, pick }: Touch) {
  const points = useRef(new Map<number, number>());
  const mode = useRef<"scrub" | "pan" | "none">("none");
  const place = (event: PointerEvent) => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  return {
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return;
      const { x, y } = place(event);
      (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
      points.current.set(event.pointerId, x);
      if (points.current.size > 1) return;
      mode.current = pick(x, y) ? "none" : y >= rows.ruler.top && event.pointerType === "mouse" ? "pan" : "scrub";
      if (mode.current === "scrub") go(toTime(span, x, width));
    },
    onPointerMove: (event: PointerEvent) => {
      const before = points.current.get(event.pointerId);
      if (before === undefined) return;
      const { x } = place(event);
      points.current.set(event.pointerId, x);
      if (points.current.size === 2) {
        const other = [...points.current].find(([id]) => id !== event.pointerId)![1];
        const factor = Math.max(Math.abs(x - other), 8) / Math.max(Math.abs(before - other), 8);
        mode.current = "none";
        setSpan((s) => pan(zoom(s, factor, toTime(s, (before + other) / 2, width), seconds), ((before - x) / 2) * secondsPerPixel(s, width), seconds));
      } else if (mode.current === "pan") {
        setSpan((s) => pan(s, (before - x) * secondsPerPixel(s, width), seconds));
      } else if (mode.current === "scrub") {
        go(toTime(span, Math.min(Math.max(x, 0), width), width));
      }
    },
    onPointerUp: (event: PointerEvent) => void points.current.delete(event.pointerId),
    onPointerCancel: (event: PointerEvent) => void points.current.delete(event.pointerId),
  };
}

/** A film's motion and sound, fine enough to look close. */
function useTraces(film: Film | undefined): Traces | undefined {
  const [traces, setTraces] = useState<Traces>();
  const id = film?.state === "ready" ? film.id : undefined;
  const points = Math.min(Math.max(film?.frames ?? 0, 400), 20000);
  useEffect(() => {
    setTraces(undefined);
    if (!id) return;
    const stop = new AbortController();
    ask("get", "/api/films/{id}/traces", { path: { id }, query: { points }, signal: stop.signal }).then(setTraces, () => {
      // Without traces the timeline still has its reps and its ruler.
    });
    return () => stop.abort();
  }, [id, points]);
  return traces;
}

/** The theme in use, so that canvases are painted again when it changes. */
function useTheme(): string {
  const [theme, setTheme] = useState(document.documentElement.dataset["theme"] ?? "");
  useEffect(() => {
    const observer = new MutationObserver(() => setTheme(document.documentElement.dataset["theme"] ?? ""));
    observer.observe(document.documentElement, { attributeFilter: ["data-theme"] });
    return () => observer.disconnect();
  }, []);
  return theme;
}

