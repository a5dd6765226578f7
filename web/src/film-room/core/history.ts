// What was done in this window, for undo and redo.
import { inverse, type Change, type Key } from "./change";

const most = 500;

export class History {
  private past: Change[] = [];
  private future: Change[] = [];

  /** Notes a change that was made. What had been undone is gone then. */
  did(change: Change): void {
    this.past.push(change);
    if (this.past.length > most) this.past.shift();
    this.future = [];
  }

  /** The change to make in order to take the last one back. */
  undo(): Change | undefined {
    const last = this.past.pop();
    if (!last) return undefined;
    const back = inverse(last);
    this.future.push(inverse(back));
    return back;
  }

  /** The change to make in order to do again what was taken back last. */
  redo(): Change | undefined {
    const next = this.future.pop();
    if (next) this.past.push(next);
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
    this.past = this.past.filter((change) => change.rep !== rep);
    this.future = this.future.filter((change) => change.rep !== rep);
  }
}
