// What can be done to the reps of a bullpen, as plain data that can be undone.
import type { Call, Pitch, Reading, Rep } from "../../api/types";

/** A rep's name on the page: its id, or the name it had before the server gave it one. */
export type Key = string;

/** The instants of a delivery, in the order they happen. */
export const instants = ["drive", "plant", "top", "release"] as const;
export type Instant = (typeof instants)[number];

/** What can be changed of a rep. Null: taken away. */
export interface Fields {
  filmId?: string | null;
  drive?: number | null;
  plant?: number | null;
  top?: number | null;
  release?: number | null;
  pitch?: Pitch;
  reading?: Reading | null;
  drill?: string;
  set?: number;
  number?: number;
  call?: Call;
  warmUp?: boolean;
  sure?: boolean;
  note?: string;
}

export type Field = keyof Fields;

/** What each is called. */
export const fieldNames: Record<Field, string> = {
  filmId: "film", drive: "drive", plant: "plant", top: "top", release: "release", pitch: "pitch", reading: "reading",
  drill: "drill", set: "set", number: "rep in set", call: "strike or ball", warmUp: "warm-up", sure: "the word that the reading is right", note: "note",
};

/** A rep of which nothing is said yet, and nothing judged. */
export const bare = (id: string): Rep => ({
  id, version: 0, bullpenId: "", order: 0, pitch: "fb", pitchName: "", drill: "", set: 0, number: 0,
  call: "", warmUp: false, sure: false, note: "", judged: { verdict: "", onEdge: false },
});

export type Change =
  | { kind: "add"; rep: Key; fields: Fields }
  | { kind: "edit"; rep: Key; fields: Fields; before: Fields }
  | { kind: "remove"; rep: Key }
  | { kind: "restore"; rep: Key };

/** The change that takes another one back. */
export function inverse(change: Change): Change {
  switch (change.kind) {
    case "add":
    case "restore":
      return { kind: "remove", rep: change.rep };
    case "remove":
      return { kind: "restore", rep: change.rep };
    case "edit":
      return { kind: "edit", rep: change.rep, fields: change.before, before: change.fields };
  }
}

/** A field's value on a rep; null where there is none. */
export function valueOf(rep: Rep, field: Field): Fields[Field] {
  return rep[field] ?? null;
}

/**
 * The edit that gives a rep these fields; undefined if it has them all already.
 * What the user saw when the edit was begun, if given, is what it is made against:
 * a change that came between is a clash then, and not overwritten.
 */
export function edit(key: Key, rep: Rep, wanted: Fields, seen: Rep = rep): Change | undefined {
  const fields: Record<string, unknown> = {};
  const before: Record<string, unknown> = {};
  for (const field of Object.keys(wanted) as Field[]) {
    const was = valueOf(seen, field);
    if (same(was, wanted[field]) || same(valueOf(rep, field), wanted[field])) continue;
    fields[field] = wanted[field];
    before[field] = was;
  }
  return Object.keys(fields).length > 0 ? { kind: "edit", rep: key, fields, before } : undefined;
}

/** The rep with the fields in place. */
export function withFields(rep: Rep, fields: Fields): Rep {
  const changed: Record<string, unknown> = { ...rep };
  for (const [field, value] of Object.entries(fields)) {
    if (value === null) delete changed[field];
    else changed[field] = value;
  }
  return changed as unknown as Rep;
}

/** The fields in which somebody else's change and this edit disagree. */
export function clashes(edit: Change & { kind: "edit" }, theirs: Rep): Field[] {
  return (Object.keys(edit.fields) as Field[]).filter((field) => {
    const now = valueOf(theirs, field);
    return !same(now, edit.before[field]) && !same(now, edit.fields[field]);
  });
}

/** Everything that a user can change of a rep. */
const all = Object.keys(fieldNames) as readonly Field[];

/** The fields in which a rep is no longer what it was. */
export function differences(was: Rep, now: Rep): Field[] {
  return all.filter((field) => !same(valueOf(was, field), valueOf(now, field)));
}

/** A rep's values of some fields. */
export function picked(rep: Rep, fields: readonly Field[]): Fields {
  return Object.fromEntries(fields.map((field) => [field, valueOf(rep, field)])) as Fields;
}

export function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (a == null || b == null) return a == b;
  if (typeof a !== "object" || typeof b !== "object") return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) => same((a as never)[key], (b as never)[key]));
}
