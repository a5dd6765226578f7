// What is said of many readings before they are put on the ledger.
import type { ReadingPairs } from "../../api/types";

/** "4 matched, 2 get a new rep, 1 rep without a reading." */
export function countsText({ matched, over, missing, new: logged }: ReadingPairs): string {
  const parts: string[] = [];
  if (matched > 0 || logged === 0) parts.push(`${matched} matched`);
  if (logged > 0) parts.push(`${logged} ${logged === 1 ? "gets" : "get"} a new rep`);
  if (over > 0) parts.push(`${over} ${over === 1 ? "reading" : "readings"} without a rep`);
  if (missing > 0) parts.push(`${missing} ${missing === 1 ? "rep" : "reps"} without a reading`);
  return `${parts.join(", ")}.`;
}

/** What to do with readings that have no rep, in one sentence; nothing where each has one. */
export function adviceText({ pairs, behind, over, missing, matched }: ReadingPairs, filmed: boolean): string {
  if (pairs.length === 0 || over === 0) return "";
  const reps = matched + missing;
  if (behind === 0) return `${over === 1 ? "One reading stands" : `${over} readings stand`} before the first rep and will be left out; shift down to bring ${over === 1 ? "it" : "them"} in.`;
  if (reps === 0 && filmed) return "No rep is logged yet: mark the releases on the film first, or tick “new reps” for readings that are not on film.";
  if (reps === 0) return "No rep is logged yet: tick “new reps”, and each reading becomes one.";
  return filmed
    ? `There are more readings than reps: mark the missing ${behind === 1 ? "release" : "releases"} on the film, or tick “new reps” for what is not on film.`
    : "There are more readings than reps: tick “new reps”, and each one left over becomes a rep.";
}

/** What the button does: "Put 4 on the ledger, log 2 new reps". */
export function buttonText(found: ReadingPairs | undefined): string {
  const { matched = 0, new: logged = 0 } = found ?? {};
  const log = `${logged} new ${logged === 1 ? "rep" : "reps"}`;
  if (logged === 0) return `Put ${matched} on the ledger`;
  return matched === 0 ? `Log ${log}` : `Put ${matched} on the ledger, log ${log}`;
}

/** What was done. */
export function enteredText({ changed, logged }: { changed: number; logged: number }): string {
  const parts: string[] = [];
  if (changed > 0 || logged === 0) parts.push(`${changed} ${changed === 1 ? "rep" : "reps"} changed`);
  if (logged > 0) parts.push(`${logged} new ${logged === 1 ? "rep" : "reps"} logged`);
  return `${parts.join(", ")}. U takes it back.`;
}

/** What is asked of several readings at once, each question once. */
export function askedTogether({ pairs }: ReadingPairs): string[] {
  const asked = pairs.map((pair) => pair.doubt).filter((doubt) => doubt !== undefined && doubt !== "") as string[];
  return [...new Set(asked.filter((doubt, i) => asked.indexOf(doubt) !== i))];
}

/** How many of the readings are asked about; nothing for none. */
export function askedText({ pairs }: ReadingPairs): string {
  const n = pairs.filter((p) => p.doubt).length;
  return n > 0 ? `${n} asked about` : "";
}
