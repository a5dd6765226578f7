// Where a homework stands: by shape, colour and word.
import type { HomeworkState } from "../api/types";

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
