// Where a homework stands: by shape, colour and word.
import type { HomeworkCard, HomeworkState } from "../api/types";
import { dayText } from "../words/speed";
import { momentDayText } from "../words/size";

const shapes: Record<HomeworkState, string> = {
  new: "M10 1a9 9 0 1 0 .01 0z",
  "in review": "M10 1a9 9 0 0 1 0 18z",
  overdue: "M10 1l9.5 17h-19z",
  "handed out": "M3 9h14v3H3z",
  answered: "M2 10l3-3 4 4 7-8 3 3L9 17z",
};

export function StateMark({ state }: { state: HomeworkState }) {
  return <span class={`state state-${state.replace(" ", "-")}`}><svg viewBox="0 0 20 20" aria-hidden="true"><path d={shapes[state]} /></svg>{state}</span>;
}

/** What is known of a homework, in a line. */
export function homeworkFacts(h: HomeworkCard): string {
  return [
    h.films > 0 ? `${h.films} ${h.films === 1 ? "film" : "films"}` : h.filmAt ? "no film that can be used" : "no film yet",
    h.films > 0 ? `${h.reps} of ${h.places} reps logged` : `${h.places} reps to throw`,
    h.due ? `due ${dayText(h.due)}` : "",
    h.sentAt ? `answered ${momentDayText(h.sentAt)}` : h.filmAt ? `film came ${momentDayText(h.filmAt)}` : "",
  ].filter(Boolean).join(", ");
}
