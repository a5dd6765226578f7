// What is said of many readings before they are put on the ledger.
import type { ReadingPairs } from "../../api/types";

/** "4 matched, 2 get a new rep, 1 rep without a reading." */
export function countsText({ matched, over, missing, kept, new: logged }: ReadingPairs): string {
  const parts: string[] = [];
  if (matched > 0 || logged === 0) parts.push(`${matched} matched`);
  if (logged > 0) parts.push(`${logged} ${logged === 1 ? "gets" : "get"} a new rep`);
  if (over > 0) parts.push(`${over} ${over === 1 ? "reading" : "readings"} without a rep`);
  if (missing > 0) parts.push(`${missing} ${missing === 1 ? "rep" : "reps"} without a reading`);
  if (kept > 0) parts.push(`${kept} ${kept === 1 ? "keeps its reading" : "keep theirs"}`);
  return `${parts.join(", ")}.`;
}

/** What to do with readings that have no rep, in one sentence; nothing where each has one. */
export function adviceText({ pairs, behind, over, missing, kept, matched }: ReadingPairs, filmed: boolean): string {
  if (pairs.length === 0 || over === 0) return "";
  const reps = matched + missing + kept;
  if (behind === 0) return `${over === 1 ? "One reading stands" : `${over} readings stand`} before the first rep and will be left out; shift down to bring ${over === 1 ? "it" : "them"} in.`;
  if (reps === 0 && filmed) return "No rep is logged yet: mark the releases on the film first, or tick “new reps” for readings that are not on film.";
  if (reps === 0) return "No rep is logged yet: tick “new reps”, and each reading becomes one.";
  if (matched + missing === 0) return `Every rep has a reading: tick “new reps” to log ${over === 1 ? "this one" : "these"} as well, or shift up to replace what is there.`;
  return filmed
    ? `There are more readings than reps: mark the missing ${behind === 1 ? "release" : "releases"} on the film, or tick “new reps” for what is not on film.`
    : "There are more readings than reps: tick “new reps”, and each one left over becomes a rep.";
}

/** What the button does: "Put 4 on the ledger, log 2 new reps", "Replace 2 readings". */
export function buttonText(found: ReadingPairs | undefined): string {
  const { matched = 0, replaced = 0, new: logged = 0 } = found ?? {};
  const log = `${logged} new ${logged === 1 ? "rep" : "reps"}`;
  const others = replaced === 1 ? "1 of them replaces another" : `${replaced} of them replace others`;
  const put = matched > 0 && replaced === matched
    ? `Replace ${replaced} ${replaced === 1 ? "reading" : "readings"}`
    : `Put ${matched} on the ledger${replaced > 0 ? `, ${others}` : ""}`;
  if (logged === 0) return put;
  return matched === 0 ? `Log ${log}` : `${put}, log ${log}`;
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
