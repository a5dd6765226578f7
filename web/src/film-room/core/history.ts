// What was done in this window, step by step, for undo and redo.
import { inverse, type Change, type Key } from "./change";

const most = 500;

/** What one undo takes back: usually one change. */
export interface Step {
  changes: readonly Change[];
  /** What it was, where its changes alone don't tell: found instants that were accepted, or a run of readings. */
  of?: "accepting" | "readings" | undefined;
}

const none: Step = { changes: [] };

export class History {
  private past: Step[] = [];
  private future: Step[] = [];

  /** Notes a step that was made. What had been undone is gone then. */
  did(changes: readonly Change[], of?: Step["of"]): void {
    this.past.push({ changes, of });
    if (this.past.length > most) this.past.shift();
    this.future = [];
  }

  /** The changes to make in order to take the last step back; none when there is no step. */
  undo(): Step {
    const last = this.past.pop();
    if (!last) return none;
    const back = reversed(last);
    this.future.push(reversed(back));
    return back;
  }

  /** The changes to make in order to do again what was taken back last. */
  redo(): Step {
    const next = this.future.pop();
    if (!next) return none;
    this.past.push(next);
    return next;
  }

  get canUndo(): boolean {
    return this.past.length > 0;
  }

  get canRedo(): boolean {
    return this.future.length > 0;
  }

  /** Drops everything about a rep that turned out not to be ours to change any more. */
  forget(rep: Key): void {
    const without = (steps: Step[]) =>
      steps.map((s) => ({ ...s, changes: s.changes.filter((c) => c.rep !== rep) })).filter((s) => s.changes.length > 0);
    this.past = without(this.past);
    this.future = without(this.future);
  }
}

const reversed = ({ changes, of }: Step): Step => ({ changes: changes.map(inverse).reverse(), of });
