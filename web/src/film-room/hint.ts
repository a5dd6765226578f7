// What a button says under the pointer: what it does, and its key.
import { keyFor, type Action } from "./core/keys";

/** A button's hint with its key. */
export function hint(says: string, action: Action): string {
  const key = keyFor(action);
  return key ? `${says} (${key})` : says;
}
