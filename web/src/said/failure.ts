// What went wrong, for students and parents.
import { APIError } from "../api/client";
import type { Said } from "./say";

/** One sentence that may be shown of anything that was thrown. The server's own are in the language of the page. */
export function failureText(failure: unknown, { say }: Said): string {
  if (!(failure instanceof APIError)) return say("failure.page");
  return failure.status === 0 ? say("failure.noAnswer") : failure.message;
}
