// Draws the line of the film's reps and the ball that says where the film stands; motion
// and sound under them where they are asked for. Plain canvas; what is drawn is handed in.
import type { Envelope } from "../api/types";
import { length, rulerTimes, ruling, toTime, toX, type Span } from "./core/span";
import { rulerText } from "./said";

/** Where each layer lies, in CSS pixels from the top. Motion, sound and ruler lie below the
    line's own height. */
export const rows = {
  flags: { top: 0, height: 26 },
  line: { top: 31, height: 6 },
  motion: { top: 46, height: 26 },
  sound: { top: 74, height: 18 },
  ruler: { top: 93, height: 17 },
};

/** How high the line is, with motion and sound and without. */
export const highOf = (traces: boolean): number => (traces ? rows.ruler.top + rows.ruler.height : 45);

export interface Ink {
  ink: string;
  quiet: string;
  line: string;
  well: string;
  accent: string;
  onAccent: string;
  motion: string;
  sound: string;
  font: string;
}

export function inkOf(element: Element): Ink {
  const style = getComputedStyle(element);
  const v = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: v("--ink"), quiet: v("--soft-ink"), line: v("--line"), well: v("--well"), accent: v("--accent"),
    onAccent: v("--on-accent"), motion: v("--motion"), sound: v("--sound"), font: style.fontFamily,
  };
}

export interface Ground {
  span: Span;
  seconds: number;
  motion: Envelope | undefined;
  sound: Envelope | undefined;
  hasSound: boolean;
  /** Its pictures were not all looked at yet. */
  reading: boolean;
  /** Whether motion and sound are shown. */
  traces: boolean;
}

/** What stays while the playhead moves. */
export function paintGround(g: CanvasRenderingContext2D, width: number, ink: Ink, ground: Ground): void {
  const { span, seconds } = ground;
  g.clearRect(0, 0, width, highOf(ground.traces));
  g.fillStyle = ink.line;
  const end = Math.min(width, toX(span, seconds, width));
  g.fillRect(0, rows.line.top, end, rows.line.height);
  if (!ground.traces) return;
  g.fillStyle = ink.well;
  for (const row of [rows.motion, rows.sound]) {
    g.fillRect(0, row.top, end, row.height);
  }
  if (ground.motion) paintTrace(g, width, ground.motion, span, seconds, rows.motion, ink.motion);
  if (ground.sound) paintTrace(g, width, ground.sound, span, seconds, rows.sound, ink.sound);
  paintName(g, ink, rows.motion, ground.reading ? "motion: comes once the film was read" : "motion");
  paintName(g, ink, rows.sound, ground.hasSound ? "sound" : "no sound");
  paintRuler(g, width, ink, span);
}

/** Names a track at its left end. */
function paintName(g: CanvasRenderingContext2D, ink: Ink, row: { top: number }, name: string): void {
  g.font = `600 13px ${ink.font}`;
  g.textBaseline = "top";
  g.textAlign = "left";
  g.globalAlpha = 0.8;
  g.fillStyle = ink.well;
  g.fillRect(0, row.top, g.measureText(name).width + 10, 16);
  g.globalAlpha = 1;
  g.fillStyle = ink.quiet;
  g.fillText(name, 5, row.top + 1);
}

const quiets = new WeakMap<Envelope, number>();

/**
 * The level a trace has most of the time. Drawn from there up, a steady hum is a
 * thin line and what stands out of it stands out.
 */
function quietOf(trace: Envelope): number {
  let quiet = quiets.get(trace);
  if (quiet === undefined) {
    const sorted = [...trace.min].sort((a, b) => a - b);
    quiet = Math.min(sorted[Math.floor(sorted.length / 2)] ?? 0, 0.9);
    quiets.set(trace, quiet);
  }
  return quiet;
}

/** Minimum and maximum of each column; what falls between two columns is never lost. */
function paintTrace(
  g: CanvasRenderingContext2D, width: number, trace: Envelope, span: Span, seconds: number,
  row: { top: number; height: number }, colour: string,
): void {
  const n = trace.max.length;
  if (n === 0 || seconds <= 0) return;
  g.fillStyle = colour;
  const at = (x: number) => (toTime(span, x, width) / seconds) * n;
  const quiet = quietOf(trace);
  const above = (value: number) => Math.max(value - quiet, 0) / (1 - quiet);
  for (let x = 0; x < width; x++) {
    const from = at(x);
    if (from >= n) break;
    const to = Math.max(Math.floor(at(x + 1)), Math.floor(from) + 1);
    let most = 0;
    let least = 1;
    for (let i = Math.max(Math.floor(from), 0); i < to && i < n; i++) {
      most = Math.max(most, trace.max[i] ?? 0);
      least = Math.min(least, trace.min[i] ?? 0);
    }
    const up = above(most) * (row.height - 2);
    g.globalAlpha = 0.55;
    g.fillRect(x, row.top + row.height - up, 1, up);
    g.globalAlpha = 1;
    const down = above(Math.min(least, most)) * (row.height - 2);
    g.fillRect(x, row.top + row.height - Math.max(down, 1), 1, Math.max(down, 1));
  }
}

function paintRuler(g: CanvasRenderingContext2D, width: number, ink: Ink, span: Span): void {
  const { top, height } = rows.ruler;
  const step = ruling(span, width, 76);
  g.fillStyle = ink.quiet;
  g.font = `14px ${ink.font}`;
  g.textBaseline = "middle";
  g.textAlign = "left";
  for (const time of rulerTimes(span, width, 76)) {
    const x = Math.round(toX(span, time, width));
    g.fillRect(x, top, 1, height);
    g.fillText(rulerText(time, step), x + 4, top + height / 2 + 1);
  }
}

/** A logged rep on the timeline. */
export interface Flag {
  key: string;
  label: string;
  seconds: number;
  chosen: boolean;
  /** Its other instants. */
  others: { seconds: number; kind: "marked" | "found" | "unsure" }[];
}

/** A proposed rep on the timeline: drawn hollow, so that nobody takes it for a logged one. */
export interface Hint {
  from: number;
  to: number;
  seconds: number;
  rough: boolean;
  kind: "sure" | "asked" | "faint" | "out";
}

/**
 * A proposal is a ring at its release over a bracket for its span, dashed while it
 * is only asked about; a rough release wears a whisker to either side. Unexplained
 * motion has no release: its span is hatched.
 */
function paintHints(g: CanvasRenderingContext2D, width: number, ink: Ink, span: Span, hints: readonly Hint[], traces: boolean): void {
  g.save();
  g.strokeStyle = ink.ink;
  g.fillStyle = ink.ink;
  const middle = rows.flags.top + 12;
  const told = hints.filter(({ kind }) => kind !== "faint").sort((a, b) => a.seconds - b.seconds);
  const free = roomy(told.map(({ seconds }) => toX(span, seconds, width)), ringWidth);
  const crowded = new Set(told.filter((_, i) => !free[i]));
  for (const hint of hints) {
    const { from, to, seconds, rough, kind } = hint;
    const [left, right] = [toX(span, from, width), toX(span, to, width)];
    if (right < -20 || left > width + 20) continue;
    if (kind === "faint") {
      paintHatch(g, left, right, traces ? rows.motion : rows.line);
      continue;
    }
    const x = Math.round(toX(span, seconds, width));
    g.globalAlpha = kind === "out" ? 0.45 : 1;
    g.lineWidth = 2;
    g.setLineDash(kind === "sure" ? [] : [3, 3]);
    if (crowded.has(hint)) {
      // A tick: tall for what is sure, short for what is asked about.
      g.setLineDash([]);
      g.fillRect(x - 1, rows.flags.top + (kind === "sure" ? 4 : 14), 2, kind === "sure" ? 22 : 12);
      continue;
    }
    g.beginPath();
    g.moveTo(left, rows.flags.top + 22);
    g.lineTo(left, rows.flags.top + 26);
    g.lineTo(right, rows.flags.top + 26);
    g.lineTo(right, rows.flags.top + 22);
    g.stroke();
    g.beginPath();
    g.arc(x, middle, 8, 0, 2 * Math.PI);
    if (kind === "out") {
      g.moveTo(x - 5, middle - 5);
      g.lineTo(x + 5, middle + 5);
    } else if (rough) {
      g.moveTo(x - 15, middle);
      g.lineTo(x - 8, middle);
      g.moveTo(x + 8, middle);
      g.lineTo(x + 15, middle);
    }
    g.stroke();
    if (kind === "asked") {
      g.font = `700 12px ${ink.font}`;
      g.fillText("?", x, middle + 1);
    }
  }
  g.restore();
}

/** Strokes over a stretch whose motion nothing explains. */
function paintHatch(g: CanvasRenderingContext2D, left: number, right: number, { top, height }: { top: number; height: number }): void {
  g.save();
  g.globalAlpha = 0.5;
  g.lineWidth = 1.5;
  g.setLineDash([]);
  g.beginPath();
  g.rect(left, top, right - left, height);
  g.stroke();
  g.clip();
  g.beginPath();
  for (let x = left - height; x < right; x += 7) {
    g.moveTo(x, top + height);
    g.lineTo(x + height, top);
  }
  g.stroke();
  g.restore();
}

const flagWidth = (label: string) => 14 + 9 * label.length;

/** A ring takes so much room; nearer ones are ticks, so that two hundred can be told apart. */
const ringWidth = 19;

/** Which of some things along a line can be drawn without lying on one that came before it in the list. */
export function fitting(things: readonly { x: number; wide: number }[]): boolean[] {
  const taken: { x: number; wide: number }[] = [];
  return things.map((t) => {
    if (taken.some((o) => Math.abs(o.x - t.x) < (o.wide + t.wide) / 2)) return false;
    taken.push(t);
    return true;
  });
}

/** Which of the places along a line have so much room for themselves, in their order. */
export function roomy(places: readonly number[], wide: number): boolean[] {
  return places.map((x, i) => x - (places[i - 1] ?? -Infinity) >= wide && (places[i + 1] ?? Infinity) - x >= wide);
}

/** The flags, and the ball where the film stands. */
export function paintMarks(g: CanvasRenderingContext2D, width: number, ink: Ink, span: Span, flags: readonly Flag[], hints: readonly Hint[], now: number, traces: boolean): void {
  g.clearRect(0, 0, width, highOf(traces));
  g.textBaseline = "middle";
  g.textAlign = "center";
  paintHints(g, width, ink, span, hints, traces);
  // A flag that would lie on another is a pole; the chosen one always has its number.
  const first = [...flags].sort((a, b) => Number(b.chosen) - Number(a.chosen) || a.seconds - b.seconds);
  const shown = fitting(first.map((f) => ({ x: toX(span, f.seconds, width), wide: flagWidth(f.label) + 2 })));
  const bare = new Set(first.filter((_, i) => !shown[i]));
  const ordered = [...flags].sort((a, b) => Number(a.chosen) - Number(b.chosen));
  for (const flag of ordered) {
    const x = Math.round(toX(span, flag.seconds, width));
    if (x < -60 || x > width + 60) continue;
    if (traces) for (const other of flag.others) paintInstant(g, ink, Math.round(toX(span, other.seconds, width)), other.kind);
    g.fillStyle = ink.ink;
    const foot = traces ? rows.sound : rows.line;
    g.fillRect(x - 1, rows.flags.top + 4, 2, foot.top + foot.height - rows.flags.top - 4);
    if (bare.has(flag)) continue;
    const wide = flagWidth(flag.label);
    g.fillStyle = flag.chosen ? ink.accent : ink.well;
    g.strokeStyle = ink.ink;
    g.lineWidth = flag.chosen ? 2.5 : 1.5;
    g.beginPath();
    g.roundRect(x - wide / 2, rows.flags.top + 1, wide, 23, 5);
    g.fill();
    g.stroke();
    g.fillStyle = flag.chosen ? ink.onAccent : ink.ink;
    g.font = `700 15px ${ink.font}`;
    g.fillText(flag.label, x, rows.flags.top + 13);
  }
  paintBall(g, width, ink, toX(span, now, width), traces);
}

/** An instant beside the release: solid where it was marked, hollow where it was found, faint where it only would be. */
function paintInstant(g: CanvasRenderingContext2D, ink: Ink, x: number, kind: "marked" | "found" | "unsure"): void {
  const { top, height } = rows.motion;
  g.save();
  g.globalAlpha = kind === "unsure" ? 0.5 : 1;
  g.fillStyle = g.strokeStyle = ink.ink;
  g.lineWidth = 1;
  if (kind !== "marked") g.setLineDash([3, 3]);
  g.beginPath();
  g.moveTo(x + 0.5, top);
  g.lineTo(x + 0.5, top + height);
  g.stroke();
  g.setLineDash([]);
  if (kind === "marked") {
    g.fillRect(x - 3, top, 7, 3);
  } else if (kind === "found") {
    g.fillStyle = ink.well;
    g.lineWidth = 1.5;
    g.beginPath();
    g.arc(x + 0.5, top + 3, 3, 0, 2 * Math.PI);
    g.fill();
    g.stroke();
  }
  g.restore();
}

const ballRadius = 9;

/** A ball with its two seams. */
function paintBall(g: CanvasRenderingContext2D, width: number, ink: Ink, at: number, traces: boolean): void {
  if (at < -ballRadius || at > width + ballRadius) return;
  const x = Math.round(Math.min(Math.max(at, ballRadius + 1), width - ballRadius - 1)); // the ball is whole at both ends; its line stands where the frame is
  const y = rows.line.top + rows.line.height / 2;
  if (traces && at >= 0 && at <= width) {
    const line = Math.round(at);
    g.fillStyle = ink.onAccent;
    g.fillRect(line - 2, y, 5, rows.ruler.top - y);
    g.fillStyle = ink.accent;
    g.fillRect(line - 1, y, 3, rows.ruler.top - y);
  }
  const circle = (cx: number, r: number, from = 0, to = 2 * Math.PI) => {
    g.beginPath();
    g.arc(cx, y, r, from, to);
  };
  circle(x, ballRadius);
  g.fillStyle = ink.accent;
  g.fill();
  g.strokeStyle = ink.onAccent;
  g.lineWidth = 2;
  g.stroke();
  g.lineWidth = 1.3;
  circle(x - 1.2 * ballRadius, 0.85 * ballRadius, -0.8, 0.8);
  g.stroke();
  circle(x + 1.2 * ballRadius, 0.85 * ballRadius, Math.PI - 0.8, Math.PI + 0.8);
  g.stroke();
}

/** The flag under a point, if any; the chosen one lies on top. */
export function flagAt(flags: readonly Flag[], span: Span, width: number, x: number, y: number): Flag | undefined {
  if (y > rows.flags.height) return undefined;
  const hit = flags.filter((f) => Math.abs(toX(span, f.seconds, width) - x) <= Math.max(flagWidth(f.label) / 2, 12));
  return hit.sort((a, b) => Math.abs(toX(span, a.seconds, width) - x) - Math.abs(toX(span, b.seconds, width) - x))[0];
}

/** So many seconds one pixel is. */
export const secondsPerPixel = (span: Span, width: number): number => length(span) / width;
