// Two deliveries on one clock: their four instants, and the legs' time and the
// arm's time as bars.

/** The four instants, seconds; missing where one is not known. */
export interface Moments {
  drive?: number;
  plant?: number;
  top?: number;
  release?: number;
}

export const instantNames = ["drive", "plant", "top", "release"] as const;
export type InstantName = (typeof instantNames)[number];

export interface Bar {
  part: "legs" | "arm";
  x0: number;
  x1: number;
}

export interface Tick {
  instant: InstantName;
  x: number;
}

export interface Lane {
  bars: Bar[];
  ticks: Tick[];
}

export interface PhaseLayout {
  lanes: Lane[];
  /** Where the moment lies at which both are aligned. */
  zero: number;
  /** The place of a time. */
  at: (seconds: number) => number;
  from: number;
  to: number;
}

/** What is drawn of a delivery at least, seconds from its release. */
const least = { from: -0.95, to: 0.3 };
/** How much is drawn before the first and after the last instant, seconds. */
const air = 0.1;

/**
 * Lays the sides' instants, counted from where they are aligned, on one line of
 * time; release is where the second side has its own.
 */
export function layOutPhases(sides: readonly Moments[], width: number, release = 0): PhaseLayout {
  const all = sides.flatMap((m) => instantNames.map((i) => m[i])).filter((v) => v !== undefined);
  const from = Math.min(0, release + least.from, ...all.map((v) => v - air));
  const to = Math.max(0, release + least.to, ...all.map((v) => v + air));
  const at = (seconds: number) => ((seconds - from) / (to - from)) * width;
  const lanes = sides.map((m) => {
    const bar = (part: Bar["part"], a: number | undefined, b: number | undefined): Bar[] => (
      a !== undefined && b !== undefined && b > a ? [{ part, x0: at(a), x1: at(b) }] : []
    );
    return {
      bars: [...bar("legs", m.drive, m.plant), ...bar("arm", m.top, m.release)],
      ticks: instantNames.flatMap((instant) => (m[instant] === undefined ? [] : [{ instant, x: at(m[instant]) }])),
    };
  });
  return { lanes, zero: at(0), at, from, to };
}

/** The instants counted from one of them and played so many times as fast. */
export function countedFrom(moments: Moments, zero: number, tempo: number): Moments {
  const out: Moments = {};
  for (const i of instantNames) if (moments[i] !== undefined) out[i] = (moments[i] - zero) / tempo;
  return out;
}
