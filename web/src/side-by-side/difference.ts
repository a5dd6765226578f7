// What differs between the two reps, in the one line over both pictures.
import type { Pair } from "../api/types";

type Phase = Pick<Pair["phases"][number], "from" | "to" | "said" | "clear">;

/** "On this change-up her legs took 87 ms longer, her arm 18 ms longer."; "" without times. */
export function differenceText(pitch: string, phases: readonly Phase[]): string {
  let took = false;
  const said = ([["legs", "drive", "plant"], ["arm", "top", "release"]] as const).flatMap(([name, from, to]) => {
    const phase = phases.find((p) => p.from === from && p.to === to);
    if (!phase) return [];
    const verb = phase.clear && !took ? "took " : "";
    took = phase.clear;
    return [`her ${name} ${verb}${phase.said}`];
  });
  return said.length > 0 ? `On this ${pitch} ${said.join(", ")}.` : "";
}
