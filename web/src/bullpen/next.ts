// The one thing to do next with a bullpen. What is next with a pitch is said by the server.
import type { Sheet, Summary } from "../api/types";
import { offSpeed } from "./said";

/** What the page's one main button does; nothing while films must come or be read first. */
export type Step = "log reps" | "settle" | "hand out" | "share";

export function stepOf(sheet: Pick<Sheet, "reps" | "waiting"> & { films: readonly Pick<Sheet["films"][number], "steppable">[]; offer?: unknown }): Step | undefined {
  if (sheet.reps.length === 0) return sheet.films.some((f) => f.steppable) ? "log reps" : undefined;
  if (sheet.waiting.length > 0) return "settle";
  return sheet.offer ? "hand out" : "share";
}

/** The pitch that the headline is about, which the one next thing to do is said of; without a gap the first. */
export function foremostOf(sheet: Pick<Sheet, "summaries" | "foremost"> & { pitcher: Pick<Sheet["pitcher"], "baselinePitch"> }): Summary | undefined {
  return sheet.foremost === undefined ? offSpeed(sheet.summaries, sheet.pitcher.baselinePitch)[0] : sheet.summaries[sheet.foremost];
}
