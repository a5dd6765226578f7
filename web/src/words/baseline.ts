// What gaps are counted from, in plain words.
import type { Judged } from "../api/types";

type Baseline = NonNullable<Judged["baseline"]>;

/** "her fastball at that point of the bullpen": said beside the word baseline where it is first seen. */
export function baselineIs({ policy }: Pick<Baseline, "policy">, pitch: string): string {
  switch (policy) {
    case "hardest":
      return `her hardest ${pitch} in this bullpen`;
    case "last":
      return `the last ${pitch} before it`;
    case "typed":
      return "the speed typed for her";
    default:
      return `her ${pitch} at that point of the bullpen`;
  }
}
