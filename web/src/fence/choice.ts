// What somebody says yes to, of the readings from the field.
import type { FieldOutcome, FieldLine } from "../api/types";

/** What is to become of a line: it joins its rep, becomes a rep of its own, is of no use, or waits. */
export type Wish = "join" | "alone" | "aside" | "wait";

/** Which wishes make sense for a line; the first is what a plain yes does. */
export function wishesFor(line: FieldLine): Wish[] {
  switch (line.fate) {
    case "joins":
    case "new rep":
    case "stays":
      return ["join", "wait", "aside"];
    case "differs":
      return ["wait", "join", "aside"];
    case "no throw":
      return ["wait", "alone", "aside"];
    default:
      return [];
  }
}

export interface Choice {
  entries: string[];
  alone: string[];
  aside: string[];
}

export function choiceOf(outcome: FieldOutcome, wishes: Readonly<Record<string, Wish>>): Choice {
  const out: Choice = { entries: [], alone: [], aside: [] };
  for (const line of outcome.lines) {
    const usual = wishesFor(line)[0];
    const wish = usual && (wishes[line.id] ?? usual);
    if (wish === "join") out.entries.push(line.id);
    if (wish === "alone") out.alone.push(line.id);
    if (wish === "aside") out.aside.push(line.id);
  }
  return out;
}

/** The lines to look at to tell ways apart, for each way: one at least by which each two
    differ, and the first ones, so many if there are. */
export function apart(outcomes: readonly FieldOutcome[], most = 3): FieldLine[][] {
  const n = outcomes[0]?.lines.length ?? 0;
  const lines = Array.from({ length: n }, (_, i) => i);
  const differ = (a: FieldOutcome, b: FieldOutcome) => (i: number) => a.lines[i]?.place !== b.lines[i]?.place;
  const at = new Set<number>();
  outcomes.forEach((a, k) => {
    for (const b of outcomes.slice(k + 1)) {
      const first = lines.find(differ(a, b));
      if (first !== undefined && ![...at].some(differ(a, b))) at.add(first);
    }
  });
  for (const i of [...lines.filter((i) => outcomes.some((l) => differ(outcomes[0]!, l)(i))), ...lines]) if (at.size < most) at.add(i);
  const shown = [...at].sort((a, b) => a - b);
  return outcomes.map((l) => shown.map((i) => l.lines[i]!));
}
