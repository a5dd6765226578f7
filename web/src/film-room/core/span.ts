// The part of a film that the timeline shows, in seconds of the file, and its
// arithmetic: zoom, pan, keep the playhead in sight, seconds to pixels and back.

export interface Span {
  readonly from: number;
  readonly to: number;
}

/** The closest the timeline zooms in, in seconds. */
export const closest = 0.25;

export function whole(seconds: number): Span {
  return { from: 0, to: Math.max(seconds, closest) };
}

export const length = (s: Span): number => s.to - s.from;

/** Zooms by a factor (above 1: closer) so that the time `at` stays where it is. */
export function zoom(s: Span, factor: number, at: number, seconds: number): Span {
  const full = length(whole(seconds));
  const wanted = Math.min(Math.max(length(s) / factor, Math.min(closest, full)), full);
  const share = length(s) > 0 ? Math.min(Math.max((at - s.from) / length(s), 0), 1) : 0.5;
  return within({ from: at - share * wanted, to: at + (1 - share) * wanted }, seconds);
}

/** Moves the span by so many seconds, never past the film's ends. */
export function pan(s: Span, by: number, seconds: number): Span {
  return within({ from: s.from + by, to: s.to + by }, seconds);
}

/** The span moved just far enough that a time lies in its inner part. */
export function reveal(s: Span, time: number, seconds: number): Span {
  const margin = length(s) * 0.1;
  if (time < s.from + margin) return pan(s, time - s.from - margin, seconds);
  if (time > s.to - margin) return pan(s, time - s.to + margin, seconds);
  return s;
}

/** The span of the same length around a time. */
export function centre(s: Span, time: number, seconds: number): Span {
  return pan(s, time - (s.from + s.to) / 2, seconds);
}

export const toX = (s: Span, time: number, width: number): number => ((time - s.from) / length(s)) * width;

export const toTime = (s: Span, x: number, width: number): number => s.from + (x / width) * length(s);

const steps = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600];

/** The distance in seconds of the ruler's lines, so that they lie at least `apart` pixels apart. */
export function ruling(s: Span, width: number, apart: number): number {
  const least = (length(s) / width) * apart;
  return steps.find((step) => step >= least) ?? steps[steps.length - 1]!;
}

/** The ruler's times in the span. */
export function rulerTimes(s: Span, width: number, apart: number): number[] {
  const step = ruling(s, width, apart);
  const times: number[] = [];
  for (let n = Math.max(0, Math.ceil(s.from / step - 1e-9)); n * step <= s.to + 1e-9; n++) times.push(n * step);
  return times;
}

function within(s: Span, seconds: number): Span {
  const full = whole(seconds);
  const long = length(s);
  if (long >= length(full)) return full;
  if (s.from < 0) return { from: 0, to: long };
  if (s.to > full.to) return { from: full.to - long, to: full.to };
  return s;
}
