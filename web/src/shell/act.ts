// Doing something on the server that is said when it is done, or why it can't be.
import { sentenceOf } from "../api/client";
import { say } from "./say";

/** Waits for what is being done and says how it went; whether it went well. */
export async function act(doing: Promise<unknown>, done: string): Promise<boolean> {
  try {
    await doing;
    say(done);
    return true;
  } catch (failure) {
    say(sentenceOf(failure), true);
    return false;
  }
}
