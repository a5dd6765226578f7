// What a bullpen says, in sentences: the numbers are the server's, only the
// words are put together here.
import type { Pitch, Summary, Unit } from "../api/types";
import { baselineIs } from "../words/baseline";
import { gapText, percentText, speedText, tenthsText, underText } from "../words/speed";

export interface Said {
  key: string;
  title: string;
  verdict: Summary["verdict"];
  edgeOf: Summary["edgeOf"];
  soFar: boolean;
  /** The gap, large; empty while it is pending. */
  gap: string;
  /** The same in words: so much under or over. */
  under: string;
  /** What the verdict means: the band, and the edge that the gap lies on. */
  about: string[];
  lines: string[];
}

/** The summaries of every pitch but the baseline pitch, in the order of the bullpen; one that waits for its gap says why. */
export function offSpeed(summaries: Summary[], baselinePitch: Pitch): Summary[] {
  return summaries.filter((s) => s.pitch !== baselinePitch);
}

/** The summaries of the baseline pitch. */
export function baselines(summaries: Summary[], baselinePitch: Pitch): Summary[] {
  return summaries.filter((s) => s.baseline && s.pitch === baselinePitch);
}

/** What gaps are counted from, a sentence for each drill and gun place, or why there is nothing. */
export function baselineSaid(summaries: Summary[], pitch: Pitch, name: string, unit: Unit, gunMatters: boolean): string[] {
  const read = baselines(summaries, pitch);
  if (read.length > 0) {
    return read.map((s) => {
      const base = `${speedText(s.baseline!.speed, unit)} baseline (${baselineIs(s.baseline!, name)})`;
      const how = s.baseline!.policy === "typed" ? `${speedText(s.mean, unit)} on average; ${base}` : base;
      return `${titleOf(s, gunMatters)}: ${how}${s.sd ? `, spread ${speedText(s.sd, unit)} from rep to rep` : ""}.`;
    });
  }
  const typed = summaries.find((s) => s.baseline?.policy === "typed")?.baseline;
  return [typed ? `Baseline: ${speedText(typed.speed, unit)}, as typed. No ${name} was read this time.` : `No ${name} was read, so there is no gap to speak of yet.`];
}

export function titleOf(s: Summary, gunMatters: boolean): string {
  const parts = [capital(s.pitchName)];
  if (s.drill) parts.push(`in ${s.drill}`);
  if (gunMatters) parts.push(gunSaid(s.gun));
  return parts.join(", ");
}

/** base is what her baseline pitch is called; told: what the baseline is has been said above. */
export function say(s: Summary, unit: Unit, gunMatters: boolean, base: string, told = false): Said {
  const lines: string[] = [];
  if (s.pending) lines.push(s.pending);
  if (s.meanGap && s.baseline) {
    lines.push(`${speedText(s.mean, unit)} on average: ${Math.round(s.meanGap.percent)} % of the baseline of ${speedText(s.from ?? s.baseline.speed, unit)}${told ? "" : ` (${baselineIs(s.baseline, base)})`}${later(s)}.`);
  }
  if (s.judged > 0 && s.share) {
    lines.push(shareSaid(s, s.share));
  }
  return {
    key: `${s.pitch} ${s.drill} ${s.gun}`,
    title: titleOf(s, gunMatters),
    verdict: s.verdict,
    edgeOf: s.edgeOf,
    soFar: s.soFar ?? false,
    gap: s.meanGap ? gapText(s.meanGap, unit, true, s.onEdge) : "",
    under: s.meanGap ? underText(s.meanGap, unit, s.onEdge) : "",
    about: [bandText(s, unit, base), s.edgeSaid ?? "", s.drift ?? "", s.baselineSaid ?? ""].filter(Boolean),
    lines,
  };
}

/** Three percentages that are three things: what was thrown, first; then where that would
    settle if she went on like this, and the chance of the next one alone. */
function shareSaid(s: Summary, share: NonNullable<Summary["share"]>): string {
  const thrown = `${s.inBand} of ${s.judged} in the band: ${percentText(share.value)} of those thrown.`;
  const settles = `Of many more like these likely between ${percentText(share.lo)} and ${percentText(share.hi)}`;
  return `${thrown} ${settles}${s.nextInBand === undefined ? "" : `; the next one by itself: a chance of ${percentText(s.nextInBand)}`}.`;
}

/** The band in her unit, explained; empty for a pitch without one. */
function bandText(s: Summary, unit: Unit, base: string): string {
  const band = s.bands.find((b) => b.unit === unit);
  return band ? `The band is the gap to aim for: ${tenthsText(band.lo)} to ${tenthsText(band.hi)} ${unit} under her ${base}.` : "";
}

function later(s: Summary): string {
  const ms = Math.round(s.meanGap?.millis ?? 0);
  return ms === 0 ? "" : `, ${Math.abs(ms)} ms ${ms > 0 ? "later" : "earlier"} at the plate`;
}

/** Where the gun stood, as a part of a title. */
export function gunSaid(gun: Summary["gun"]): string {
  return gun === "not said" ? "the gun’s place not said" : `gun ${gun}`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
