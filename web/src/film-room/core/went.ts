// What undo and redo did, in words.
import type { Rep } from "../../api/types";
import { instants, type Change, type Fields, type Key } from "./change";
import type { Step } from "./history";

/** What a sentence needs to know of the page. */
export interface Known {
  /** The rep as it is now; for one that is gone, as it was. */
  rep: (key: Key) => Rep | undefined;
  /** A pitch's name. */
  pitch: (code: string) => string;
}

/** "Undone: rep 7's release is back at frame 312." */
export function wentText(undone: boolean, { changes, of }: Step, known: Known): string {
  if (changes.length === 0) return undone ? "There is nothing to undo." : "There is nothing to do again.";
  const [only] = changes;
  const what =
    of === "accepting" ? acceptingText(undone, changes, known)
    : changes.length === 1 ? changeText(undone, only!, known)
    : manyText(undone, changes, of);
  return `${undone ? "Undone" : "Done again"}: ${what}.`;
}

function acceptingText(undone: boolean, changes: readonly Change[], known: Known): string {
  const marks = changes.reduce((n, c) => n + (c.kind === "edit" ? Object.keys(c.fields).length : 0), 0);
  const where = changes.length > 1 ? `${changes.length} reps` : nameOf(changes[0]!, known);
  return `${marks} ${marks === 1 ? "instant" : "instants"} on ${where} ${marks === 1 ? "is" : "are"} ${undone ? "no longer accepted" : "accepted"}`;
}

/** How many reps came, went and changed. */
function manyText(undone: boolean, changes: readonly Change[], of: Step["of"]): string {
  const count = (...kinds: Change["kind"][]) => changes.filter((c) => kinds.includes(c.kind)).length;
  const [edited, editedMany] =
    of !== "readings" ? ["is changed", "are changed"]
    : undone ? ["has the reading it had before", "have the readings they had before"]
    : ["has its new reading", "have their new readings"];
  const parts: [number, string, string][] = [
    [count("edit"), edited!, editedMany!],
    [count("add", "restore"), "is back", "are back"],
    [count("remove"), "is taken out", "are taken out"],
  ];
  return listed(parts.flatMap(([n, one, many]) => (n === 0 ? [] : [n === 1 ? `1 rep ${one}` : `${n} reps ${many}`])));
}

function changeText(undone: boolean, change: Change, known: Known): string {
  const name = nameOf(change, known);
  switch (change.kind) {
    case "add":
    case "restore":
      return `${name} is back`;
    case "remove":
      return `${name} is taken out`;
    case "edit":
      return listed(fieldTexts(undone, change.fields, known).map((say, i) => (i === 0 ? say(name, `${name}'s`) : say("it", "its"))));
  }
}

type Say = (who: string, whose: string) => string;

/** One clause for each field that changed, a film with its marks. */
function fieldTexts(undone: boolean, f: Fields, known: Known): Say[] {
  const again = undone ? " again" : "";
  const out: Say[] = [];
  for (const i of instants) {
    const frame = f[i];
    if (frame === null) out.push((_, whose) => `${whose} ${i} is no longer marked`);
    else if (frame !== undefined) out.push((_, whose) => `${whose} ${i} is ${undone ? "back " : ""}at frame ${frame}`);
  }
  if (f.filmId !== undefined && out.length === 0) out.push((who) => `${who} is on ${f.filmId ? "another film" : "no film"}${again}`);
  const { reading, pitch, drill, set, number, call, warmUp, note } = f;
  if (reading === null) out.push((who) => `${who} has no reading${again}`);
  else if (reading) out.push((_, whose) => `${whose} reading is ${reading.value} ${reading.unit}${again}`);
  if (pitch !== undefined) out.push((_, whose) => `${whose} pitch is ${known.pitch(pitch)}${again}`);
  if (drill !== undefined) out.push((who, whose) => (drill ? `${whose} drill is ${drill}${again}` : `${who} is a full pitch${again}`));
  if (set !== undefined) out.push((who) => `${who} is in ${set ? `set ${set}` : "no set"}${again}`);
  if (number !== undefined) out.push((who, whose) => (number ? `${whose} number in the set is ${number}${again}` : `${who} has no number in the set${again}`));
  if (call !== undefined) out.push((who) => (call ? `${who} is called a ${call}${again}` : `${who} is called neither strike nor ball${again}`));
  if (warmUp !== undefined) out.push((who) => (warmUp ? `${who} is a warm-up${again}` : `${who} is no warm-up${again}`));
  if (note !== undefined) out.push((who, whose) => (note ? `${whose} note is “${note.length > 40 ? `${note.slice(0, 39)}…` : note}”${again}` : `${who} has no note${again}`));
  return out;
}

function nameOf(change: Change, known: Known): string {
  const order = known.rep(change.rep)?.order;
  return order ? `rep ${order}` : "a rep";
}

function listed(parts: string[]): string {
  const last = parts.pop() ?? "";
  return parts.length === 0 ? last : `${parts.join(", ")} and ${last}`;
}
