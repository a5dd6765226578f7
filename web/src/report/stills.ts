// Which two reps a report shows at release.
import type { Rep } from "../api/types";
import { sameDrill } from "../words/drill";

/** The fastball nearest the baseline and the off-speed rep to be proud of: in the band if there is one, else the nearest to it. */
export function pickStills(reps: readonly Rep[]): Rep[] {
  const filmed = reps.filter((r) => r.filmId && r.release !== undefined && !r.warmUp && r.judged.speed);
  const off = filmed
    .filter((r) => r.judged.verdict !== "" && r.judged.aim)
    .sort((a, b) => fromMiddle(a) - fromMiddle(b))[0];
  const base = filmed
    .filter((r) => r.judged.verdict === "" && r.judged.baseline?.pitch === r.pitch && (!off || sameDrill(r.drill, off.drill)))
    .sort((a, b) => fromBaseline(a) - fromBaseline(b))[0];
  return [base, off].filter((r): r is Rep => r !== undefined);
}

function fromMiddle(r: Rep): number {
  return Math.abs(r.judged.speed!.mph - (r.judged.aim!.lo.mph + r.judged.aim!.hi.mph) / 2);
}

function fromBaseline(r: Rep): number {
  return Math.abs(r.judged.speed!.mph - r.judged.baseline!.speed.mph);
}
