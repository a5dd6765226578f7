// Where everything of a bullpen's picture lies: every rep as a mark in the order
// of throwing, the baseline as a line, the band shaded under it. Plain numbers in,
// plain numbers out; the picture itself is drawn by bullpen-picture.tsx.
import type { Rep, Summary, Unit, Verdict, Pitch } from "../api/types";
import { tenthsText } from "../words/speed";
import { airy, lines, place, type Scale } from "./scale";

export interface Dot {
  rep: Rep;
  x: number;
  y: number;
  pitch: Pitch;
  verdict: Verdict;
}

/** A stretch of reps over which the band or the baseline stays the same. */
export interface Stretch {
  x0: number;
  x1: number;
  y0: number;
  y1: number;
}

/** The reps of one drill and one gun place: they share a baseline and nothing else. */
export interface Panel {
  title: string;
  x0: number;
  x1: number;
  dots: Dot[];
  baseline: Stretch[];
  bands: (Stretch & { pitch: Pitch })[];
}

export interface BullpenLayout {
  width: number;
  height: number;
  panels: Panel[];
  rows: { y: number; label: string }[];
  left: number;
  bottom: number;
  radius: number;
}

/** Speeds are taken in the picture's unit. */
function inUnit(speed: { mph: number; kmh: number }, unit: Unit): number {
  return unit === "mph" ? speed.mph : speed.kmh;
}

interface Group {
  title: string;
  reps: Rep[];
}

/** Full pitches come first, then each drill; warm-ups and reps without a reading have no place in the picture. */
export function groups(reps: Rep[]): Group[] {
  const found = new Map<string, Group>();
  const guns = new Set(reps.map((r) => r.reading?.gun).filter(Boolean));
  for (const rep of reps) {
    if (!rep.reading || rep.warmUp) continue;
    const drill = rep.drill || "full pitch";
    const title = guns.size > 1 ? `${drill}, gun ${rep.reading.gun}` : drill;
    const key = `${rep.drill ? 1 : 0} ${title.toLowerCase()}`;
    const group = found.get(key) ?? { title, reps: [] };
    group.reps.push(rep);
    found.set(key, group);
  }
  return [...found.entries()].sort(([a], [b]) => (a[0] === b[0] ? 0 : a < b ? -1 : 1)).map(([, g]) => g);
}

export function layOut(reps: Rep[], summaries: Summary[], unit: Unit, width: number, height: number): BullpenLayout {
  const left = 46;
  const right = 10;
  const top = 26;
  const bottom = height - 30;
  const found = groups(reps);
  const count = found.reduce((n, g) => n + g.reps.length, 0);
  const values: number[] = [];
  for (const g of found) {
    for (const r of g.reps) {
      if (r.judged.speed) values.push(inUnit(r.judged.speed, unit));
      if (r.judged.baseline) values.push(inUnit(r.judged.baseline.speed, unit));
      if (r.judged.aim) values.push(inUnit(r.judged.aim.lo, unit), inUnit(r.judged.aim.hi, unit));
    }
  }
  for (const s of summaries) if (s.aim) values.push(inUnit(s.aim.lo, unit), inUnit(s.aim.hi, unit));
  const range = airy(values, 12, 7);
  const y: Scale = { from: range.from, to: range.to, start: bottom, end: top };

  const gap = found.length > 1 ? 22 : 0;
  const step = count > 0 ? (width - left - right - gap * (found.length - 1)) / count : 0;
  const panels: Panel[] = [];
  let x = left;
  for (const g of found) {
    const x0 = x;
    const dots: Dot[] = [];
    const baseline: Stretch[] = [];
    const bands: Panel["bands"] = [];
    for (const rep of g.reps) {
      const x1 = x + step;
      const speed = rep.judged.speed;
      if (speed) {
        dots.push({ rep, x: x + step / 2, y: place(y, inUnit(speed, unit)), pitch: rep.pitch, verdict: rep.judged.verdict });
      }
      if (rep.judged.baseline) {
        const at = place(y, inUnit(rep.judged.baseline.speed, unit));
        join(baseline, { x0: x, x1, y0: at, y1: at });
      }
      x = x1;
    }
    for (const pitch of new Set(g.reps.map((r) => r.pitch))) {
      x = x0;
      const own: Stretch[] = [];
      let aim = g.reps.find((r) => r.pitch === pitch && r.judged.aim)?.judged.aim;
      for (const rep of g.reps) {
        const x1 = x + step;
        if (rep.pitch === pitch && rep.judged.aim) aim = rep.judged.aim;
        if (aim) join(own, { x0: x, x1, y0: place(y, inUnit(aim.hi, unit)), y1: place(y, inUnit(aim.lo, unit)) });
        x = x1;
      }
      bands.push(...own.map((s) => ({ ...s, pitch })));
    }
    x = x0 + step * g.reps.length;
    panels.push({ title: g.title, x0, x1: x, dots, baseline, bands });
    x += gap;
  }
  return {
    width,
    height,
    panels,
    rows: lines(range.from, range.to, range.step).map((v) => ({ y: place(y, v), label: tenthsText(v) })),
    left,
    bottom,
    radius: Math.max(2, Math.min(9, step * 0.36)),
  };
}

/** Adds a stretch, lengthening the last one when it goes on at the same height. */
function join(stretches: Stretch[], next: Stretch): void {
  const last = stretches[stretches.length - 1];
  if (last && Math.abs(last.x1 - next.x0) < 1e-6 && Math.abs(last.y0 - next.y0) < 1e-6 && Math.abs(last.y1 - next.y1) < 1e-6) {
    last.x1 = next.x1;
  } else {
    stretches.push({ ...next });
  }
}
