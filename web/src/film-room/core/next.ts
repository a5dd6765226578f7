// The one thing to do next in the film room, as far as it can be told from what is there:
// one sentence and one button, and never one that can't be done on the film.
import type { Bullpen, Film, Rep } from "../../api/types";
import { many } from "../../words/number";
import { instants } from "./change";
import type { Action } from "./keys";

export interface Known {
  bullpen: Pick<Bullpen, "gun">;
  /** Those that can be stepped, in their order. */
  films: readonly Film[];
  /** The open one. */
  film: string | undefined;
  reps: readonly Rep[];
  /** Open proposals worth going to, by the film they lie on. */
  proposed: readonly { filmId: string }[];
  baseline: { pitch: string; name: string };
  /** The four instants are marked on one of the baseline pitches. */
  marked: boolean;
  /** Reps whose clip is there or is being made. */
  clips: ReadonlySet<string>;
}

export type Next =
  | { kind: "view" | "gun"; says: string }
  | { kind: "act"; says: string; label: string; action: Action }
  | { kind: "rep"; says: string; label: string; rep: string; then?: Action }
  | { kind: "film"; says: string; label: string; film: string }
  | { kind: "done"; says: string };

/** Films on which no rep is logged and none is proposed. */
export function filmsWithout({ films, reps, proposed }: Pick<Known, "films" | "reps" | "proposed">): Film[] {
  return films.filter((f) => f.state === "ready" && !reps.some((r) => r.filmId === f.id && r.release !== undefined) && !proposed.some((p) => p.filmId === f.id));
}

/** "3 films have none yet." */
export function withoutText(n: number): string {
  return n === 0 ? "" : `${many(n, "film has", "films have")} none yet.`;
}

/** Whether nobody has said where the phone stood for any film, and reps are marked. */
function standsUnsaid({ films, reps }: Pick<Known, "films" | "reps">): boolean {
  const ready = films.filter((f) => f.state === "ready");
  return ready.length > 0 && ready.every((f) => f.view === "") && reps.some((r) => r.release !== undefined);
}

/** All that is left to do, in the order in which nextOf asks for it: "Left to do: 2 proposed
    reps, 3 readings." Empty before anything is there. */
export function leftOf(known: Known): string {
  const { bullpen, films, reps, proposed, baseline, marked, clips } = known;
  const thrown = reps.filter((r) => r.release !== undefined);
  const without = filmsWithout(known).length;
  const unread = reps.filter((r) => !r.reading).length;
  const fresh = thrown.filter((r) => !clips.has(r.id)).length;
  const left = [
    proposed.length > 0 ? many(proposed.length, "proposed rep", "proposed reps") : "",
    without > 0 && without < films.length ? many(without, "film without a rep", "films without a rep") : "",
    standsUnsaid(known) ? "where the phone stood" : "",
    unread > 0 ? many(unread, "reading", "readings") : "",
    reps.length > unread && bullpen.gun === "not said" ? "the gun’s place" : "",
    !marked && thrown.some((r) => r.pitch === baseline.pitch && !r.warmUp && !r.drill) ? `marking her body on one ${baseline.name}` : "",
    fresh > 0 ? many(fresh, "clip", "clips") : "",
  ].filter(Boolean);
  if (left.length > 0) return `Left to do: ${left.join(", ")}.`;
  return reps.length > 0 ? `${many(reps.length, "rep", "reps")}, nothing left to do.` : "";
}

export function nextOf(known: Known): Next | undefined {
  const { bullpen, films, film, reps, proposed, baseline, marked, clips } = known;
  const ready = films.filter((f) => f.state === "ready");
  const thrown = reps.filter((r) => r.release !== undefined);
  const without = filmsWithout(known);
  if (proposed.length > 0) {
    return { kind: "act", says: `${many(proposed.length, "proposed rep waits", "proposed reps wait")} for a yes or no. ${withoutText(without.length)}`.trim(), label: "Next", action: { do: "proposal", by: 1 } };
  }
  if (without.length > 0 && without.length < films.length) {
    const to = without.find((f) => f.id !== film) ?? without[0]!;
    return { kind: "film", says: `${withoutText(without.length)} Stop where the ball leaves the hand, and mark it.`, label: "Go there", film: to.id };
  }
  if (standsUnsaid(known)) {
    return { kind: "view", says: ready.length > 1 ? "Where did the phone stand for these films?" : "Where did the phone stand?" };
  }
  if (reps.length === 0) return undefined;
  const unread = reps.filter((r) => !r.reading);
  const read = reps.length - unread.length;
  if (unread.length > 0) {
    const heard = unread.find((r) => r.release !== undefined && films.some((f) => f.id === r.filmId && f.hasSound && f.slow === 1));
    const says = many(unread.length, "rep has no reading.", "reps have no reading.");
    if (heard) return { kind: "rep", says: `${says} Was it read aloud?`, label: "Hear it", rep: heard.id, then: { do: "listen" } };
    return { kind: "rep", says, label: "Type it", rep: unread[0]!.id, then: { do: "reading" } };
  }
  if (read > 0 && bullpen.gun === "not said") return { kind: "gun", says: "Where did the gun stand?" };
  if (!marked) {
    const fast = thrown.filter((r) => r.pitch === baseline.pitch && !r.warmUp && !r.drill);
    const on = fast.find((r) => r.filmId === film) ?? fast[0];
    if (on) {
      const left = instants.filter((i) => on[i] === undefined);
      return { kind: "rep", says: `Mark ${left.join(", ")} on one ${baseline.name}, and tenoff times her body on the others.`, label: `Start with rep ${on.order}`, rep: on.id };
    }
  }
  const fresh = thrown.filter((r) => !clips.has(r.id));
  if (fresh.length > 0) return { kind: "act", says: `${many(fresh.length, "rep has no clip yet.", "reps have no clip yet.")}`, label: "Make all clips", action: { do: "clips" } };
  return { kind: "done", says: "All is logged here." };
}
