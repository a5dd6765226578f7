// What a bullpen says, in sentences: the numbers are the server's, only the
// words are put together here.
import type { Pitch, Summary, Unit } from "../api/types";
import { gapText, percentText, rangeText, speedText } from "../words/speed";

export interface Said {
  key: string;
  title: string;
  verdict: Summary["verdict"];
  onEdge: boolean;
  /** The gap, large; empty while it is pending. */
  gap: string;
  lines: string[];
}

/** The summaries of every pitch but the baseline pitch, in the order of the bullpen; one that waits for its gap says why. */
export function offSpeed(summaries: Summary[], baselinePitch: Pitch): Summary[] {
  return summaries.filter((s) => s.pitch !== baselinePitch);
}

/** Those that a report speaks of: not a pitch that has a gap and no band, since it is not meant to be slower. */
export function forPaper(summaries: Summary[], baselinePitch: Pitch): Summary[] {
  return offSpeed(summaries, baselinePitch).filter((s) => s.band || !s.meanGap);
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
      const base = `${speedText(s.baseline!.speed, unit)} baseline`;
      const how = s.baseline!.policy === "typed" ? `${speedText(s.mean, unit)} on average; ${base}, as typed` : base;
      return `${titleOf(s, gunMatters)}: ${how}${s.sd ? `, spread ${speedText(s.sd, unit)}` : ""}.`;
    });
  }
  const typed = summaries.find((s) => s.baseline?.policy === "typed")?.baseline;
  return [typed ? `Baseline: ${speedText(typed.speed, unit)}, as typed. No ${name} was read this time.` : `No ${name} was read, so there is no gap to speak of yet.`];
}

export function titleOf(s: Summary, gunMatters: boolean): string {
  const parts = [capital(s.pitchName)];
  if (s.drill) parts.push(`in ${s.drill}`);
  if (gunMatters) parts.push(`gun ${s.gun}`);
  return parts.join(", ");
}

export function say(s: Summary, unit: Unit, gunMatters: boolean): Said {
  const lines: string[] = [];
  if (s.pending) lines.push(s.pending);
  if (s.meanGap && s.baseline) {
    lines.push(`${speedText(s.mean, unit)} on average, baseline ${speedText(s.baseline.speed, unit)}: ${s.meanGap.percent.toFixed(0)} % of it${later(s)}.`);
  }
  if (s.judged > 0 && s.share) {
    lines.push(`${s.inBand} of ${s.judged} in the band (${percentText(s.share.value)}; likely between ${percentText(s.share.lo)} and ${percentText(s.share.hi)} in the long run).`);
  }
  if (s.onEdge) lines.push("On the edge: the gap is nearer to the end of the band than this gun can tell.");
  return {
    key: `${s.pitch} ${s.drill} ${s.gun}`,
    title: titleOf(s, gunMatters),
    verdict: s.verdict,
    onEdge: s.onEdge,
    gap: s.meanGap ? gapText(s.meanGap, unit) : "",
    lines,
  };
}

function later(s: Summary): string {
  return s.meanGap?.millis !== undefined ? `, ${Math.round(s.meanGap.millis)} ms later at the plate` : "";
}

/** What to do next with this pitch, in one or two sentences. */
export function nextFor(s: Summary, unit: Unit, baseline: string): string[] {
  const out: string[] = [];
  if (s.comeBackOn) out.push(`${rangeText(s.comeBackOn, unit)} can come back on.`);
  if (s.verdict === "too firm") out.push(`Too close to the ${baseline}: take speed off with the grip and the hand, not with the body.`);
  if (s.aim) out.push(`Aim for ${rangeText(s.aim, unit)}.`);
  if (s.nextInBand !== undefined) out.push(`Chance that the next one is in the band: ${percentText(s.nextInBand)}.`);
  else if (s.chancePending && s.chancePending !== s.pending) out.push(s.chancePending);
  return out;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
