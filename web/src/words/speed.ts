// Speeds and gaps as a coach says them. Nothing is converted here: the server
// sends every speed in both units.
import type { Speed, SpeedRange, Unit } from "../api/types";

/** A number's text with the minus sign that people read, not the keyboard's hyphen. */
export const minus = (text: string) => text.replace(/^-/, "−");

/** One decimal, half of the last digit away from nothing, as the server rounds; none where it is 0. */
export const tenthsText = (v: number) => minus(String((Math.sign(v) * Math.round(10 * Math.abs(v))) / 10 + 0));

/** "47 mph", "46.7 mph", or without the unit. */
export function speedText(speed: Speed, unit: Unit, withUnit = true): string {
  const text = tenthsText(unit === "mph" ? speed.mph : speed.kmh);
  return withUnit ? `${text} ${unit}` : text;
}

/** "9 mph", "14.5 km/h", or without the unit; on an edge with the tenth that decides: "8.0 mph". */
export function gapText(gap: Speed, unit: Unit, withUnit = true, onEdge = false): string {
  const v = unit === "mph" ? gap.mph : gap.kmh;
  const text = onEdge ? minus((Math.sign(v) * Math.round(10 * Math.abs(v)) / 10 + 0).toFixed(1)) : tenthsText(v);
  return withUnit ? `${text} ${unit}` : text;
}

/** "9 mph under"; a pitch that came in faster than the baseline is so much over it. */
export function underText(gap: Speed, unit: Unit, onEdge = false): string {
  return gap.mph < 0 ? `${gapText({ ...gap, mph: -gap.mph, kmh: -gap.kmh }, unit, true, onEdge)} over` : `${gapText(gap, unit, true, onEdge)} under`;
}

/** "7 to 11 mph"; a range of no width is said once. */
export function rangeText(range: SpeedRange, unit: Unit, withUnit = true): string {
  const lo = speedText(range.lo, unit, false);
  const hi = speedText(range.hi, unit, false);
  const text = lo === hi ? hi : `${lo} to ${hi}`;
  return withUnit ? `${text} ${unit}` : text;
}

/** "63 %". */
export function percentText(share: number): string {
  return `${Math.round(100 * share)} %`;
}

/** "12 Apr" from "2026-04-12", and "12 Apr 2025" where near lies in another year. */
export function shortDayText(day: string, near: string): string {
  const date = new Date(`${day}T12:00:00`);
  const year = day.slice(0, 4) === near.slice(0, 4) ? {} : ({ year: "numeric" } as const);
  return Number.isNaN(date.getTime()) ? day : date.toLocaleDateString("en-GB", { day: "numeric", month: "short", ...year });
}

/** "12 April 2026" from "2026-04-12". */
export function dayText(day: string): string {
  const date = new Date(`${day}T12:00:00`);
  return Number.isNaN(date.getTime()) ? day : date.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
}
