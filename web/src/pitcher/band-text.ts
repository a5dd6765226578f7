// A band as it is typed. A number nobody touched stays what it is, however few of
// its digits are shown.
import type { Band, BandUnit, Pitch } from "../api/types";
import { numberOf } from "../words/number";

export const bandUnits: BandUnit[] = ["mph", "km/h", "% of fastball", "ms at plate"];

const edges = ["lo", "hi", "limit"] as const;
export type Edge = (typeof edges)[number];

/** One edge: its text, and the number it was shown for, which it means for as long as it reads the same. */
interface Field {
  text: string;
  exact?: number;
}

export interface BandText extends Record<Edge, Field> {
  unit: BandUnit;
}

/** Up to three decimals are shown as they are; more, as a conversion leaves behind, as one. */
export function shown(v: number): string {
  const thousandths = Math.round(v * 1000) / 1000;
  return String(Math.abs(v - thousandths) < 1e-9 ? thousandths : Math.round(v * 10) / 10);
}

const field = (v: number): Field => ({ text: shown(v), exact: v });

export function textOf(band: Band | undefined): BandText {
  if (!band) return { unit: "mph", lo: { text: "" }, hi: { text: "" }, limit: { text: "" } };
  return { unit: band.unit, lo: field(band.lo), hi: field(band.hi), limit: field(band.limit) };
}

export function typed(band: BandText, edge: Edge, text: string): BandText {
  return { ...band, [edge]: { ...band[edge], text } };
}

/** The band that is typed; undefined while an edge is no number. */
export function bandOf(text: BandText): Band | undefined {
  const [lo, hi, limit] = edges.map((e) => valueOf(text[e]));
  if (lo === undefined || hi === undefined || limit === undefined) return undefined;
  return { unit: text.unit, lo, hi, limit };
}

function valueOf({ text, exact }: Field): number | undefined {
  if (exact !== undefined && text === shown(exact)) return exact;
  const v = text.trim() === "" ? NaN : numberOf(text);
  return Number.isFinite(v) ? v : undefined;
}

/** The bands but for one pitch's. */
export function without<T>(bands: Partial<Record<Pitch, T>>, pitch: Pitch): Partial<Record<Pitch, T>> {
  const rest = { ...bands };
  delete rest[pitch];
  return rest;
}

/** Whether two bands are one, but for what arithmetic leaves behind. */
export function sameBand(a: Band | undefined, b: Band | undefined): boolean {
  if (!a || !b) return a === b;
  return a.unit === b.unit && edges.every((e) => Math.abs(a[e] - b[e]) < 1e-9);
}
