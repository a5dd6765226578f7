// Homework in words.
import type { HomeworkCard, Rep } from "../api/types";
import { momentDayText } from "../words/size";
import { dayText } from "../words/speed";

/** What is known of a homework, in a line. */
export function homeworkFacts(h: HomeworkCard): string {
  return [
    h.films > 0 ? `${h.films} ${h.films === 1 ? "film" : "films"}` : h.filmAt ? "no film that can be used" : "no film yet",
    h.note ? "a note" : "",
    h.typed > 0 ? `${h.typed} ${h.typed === 1 ? "reading" : "readings"}` : "",
    h.films > 0 ? `${h.reps} of ${h.places} reps logged` : `${h.places} reps to throw`,
    h.due ? `due ${dayText(h.due)}` : "",
    h.sentAt ? (h.state === "answered" ? `answered ${momentDayText(h.sentAt)}` : `${moreCame(h)} since your answer of ${momentDayText(h.sentAt)}`) : h.filmAt ? `film came ${momentDayText(h.filmAt)}` : "",
  ].filter(Boolean).join(", ");
}

/** What came since the answer, as far as a card can tell. */
function moreCame(h: HomeworkCard): string {
  return h.note && (h.filmAt ?? 0) <= (h.sentAt ?? 0) ? "she has written" : "more has come";
}

/** What to do about readings that are still asked about, before a reply goes. */
export function settleText(n: number): string {
  return n === 1 ? "Settle it first, or send it as it stands." : "Settle them first, or send them as they stand.";
}

/** The button that sends a reply, of which n readings are still asked about. */
export function sendText(n: number, sentBefore: boolean): string {
  if (n === 0) return sentBefore ? "Send it anew" : "Send the reply";
  const as = n === 1 ? "with that reading as it stands" : `with those ${n} readings as they stand`;
  return sentBefore ? `Send it anew, ${as}` : `Send the reply ${as}`;
}

/** Whose readings are asked about: "Rep 4’s reading is still asked about: 84 mph." */
export function askedText(reps: readonly Pick<Rep, "order" | "reading">[]): string {
  const read = ({ reading }: Pick<Rep, "reading">) => (reading ? `${reading.value} ${reading.unit}` : "");
  if (reps.length === 1) return `Rep ${reps[0]!.order}’s reading is still asked about: ${read(reps[0]!)}.`;
  return `${reps.length} readings are still asked about: ${reps.map((r) => `rep ${r.order}, ${read(r)}`).join("; ")}.`;
}

/** What she sees is no longer what is true. */
export const movedText = "Her numbers have changed since this was sent; send again to show them.";

/** What whoever has a homework's link can do with it. */
export const whoHasIt = "Whoever has it sees this homework and can send films to it, so give it to her or her parent only.";
