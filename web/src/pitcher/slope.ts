// A slope over the weeks in words; the numbers are the server's.
import type { Slope, SpeedSlope, Unit } from "../api/types";

/** "The gap grows by 0.4 mph a week (likely between 0.1 and 0.7, 6 bullpens)." */
export function slopeText(what: string, slope: Slope, unit: Unit | "%" | "points"): string {
  const by = unit === "%" ? 100 : 1;
  const clear = slope.lo > 0 || slope.hi < 0;
  const digits = unit === "%" ? 0 : 1;
  const least = Math.min(Math.abs(slope.lo), Math.abs(slope.hi)) * by;
  // A change that is clear must not read as if it might be none.
  const n = (v: number) => (Math.abs(v) * by).toFixed(clear && Number(least.toFixed(digits)) === 0 ? digits + 1 : digits);
  const signed = (v: number) => `${v < 0 && Number(n(v)) !== 0 ? "−" : ""}${n(v)}`;
  const u = unit === "%" ? "points" : unit;
  // A share moves by 100 points at most.
  if (unit === "%" && (slope.lo < -1 || slope.hi > 1)) return `${what}: ${slope.n} bullpens are too few to see a change.`;
  const range = `likely between ${signed(slope.lo)} and ${signed(slope.hi)} ${u} a week, ${slope.n} bullpens`;
  if (!clear) return `${what} shows no clear change (${range}).`;
  return `${what} ${slope.perWeek > 0 ? "grows" : "falls"} by ${n(slope.perWeek)} ${u} a week (${range}).`;
}

/** A speed's slope in her unit. */
export function inUnit(slope: SpeedSlope, unit: Unit): Slope {
  const of = unit === "mph" ? (s: { mph: number; kmh: number }) => s.mph : (s: { mph: number; kmh: number }) => s.kmh;
  return { perWeek: of(slope.perWeek), lo: of(slope.lo), hi: of(slope.hi), n: slope.n };
}
