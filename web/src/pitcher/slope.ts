// A slope over the weeks in words; the numbers are the server's.
import type { Slope } from "../api/types";

/** "The gap grows by 0.4 mph a week (likely between 0.1 and 0.7, 6 bullpens)." */
export function slopeText(what: string, slope: Slope, unit: "mph" | "%" | "points"): string {
  const by = unit === "%" ? 100 : 1;
  const n = (v: number) => (Math.abs(v) * by).toFixed(unit === "%" ? 0 : 1);
  const signed = (v: number) => `${v * by < 0 ? "−" : ""}${n(v)}`;
  const range = `likely between ${signed(slope.lo)} and ${signed(slope.hi)} a week, ${slope.n} bullpens`;
  if (slope.lo <= 0 && slope.hi >= 0) return `${what} shows no clear change (${range}).`;
  return `${what} ${slope.perWeek > 0 ? "grows" : "falls"} by ${n(slope.perWeek)} ${unit === "mph" ? unit : "points"} a week (${range}).`;
}
