// Whether a chosen file is one that is half there already. A browser that was closed
// forgets the file, so the student chooses it again; the server says what is on its
// way by name and size, and this phone remembers a hash of the beginning and the end,
// because phones like to give different films the same name.
import type { Arriving } from "../api/types";
import type { Parcel } from "./sendings";

/** Where an upload is reached. */
export const addressOf = (id: string): string => `/api/slip/uploads/${id}`;

/** The id in an upload's address. */
export const idIn = (address: string): string => address.slice(address.lastIndexOf("/") + 1);

/** The upload that a file goes on with, if any. Marks that are not known do not speak against it. */
export function goesOn(arriving: readonly Arriving[], file: Parcel, mark: string, marks: Readonly<Record<string, string>>): Arriving | undefined {
  return arriving.find((a) => a.name === clean(file.name) && a.bytes === file.size && (marks[a.id] ?? mark) === mark);
}

/** An upload of a film with this name but of another size: not this film, or as the phone made it anew. */
export function otherSize(arriving: readonly Arriving[], file: Parcel): Arriving | undefined {
  const named = arriving.filter((a) => a.name === clean(file.name));
  return named.some((a) => a.bytes === file.size) ? undefined : named[0];
}

/** A name as the server keeps it: without a path and without control characters. */
function clean(name: string): string {
  return name.slice(Math.max(name.lastIndexOf("/"), name.lastIndexOf("\\")) + 1).replace(/[\u0000-\u001f\u007f]/g, "").trim();
}

/** 32 bits of FNV-1a over bytes, as hex (Fowler, Noll, Vo). */
export function hash(bytes: Uint8Array): string {
  let h = 0x811c9dc5;
  for (const byte of bytes) h = Math.imul(h ^ byte, 0x01000193);
  return (h >>> 0).toString(16).padStart(8, "0");
}

/** Bytes looked at on each end of a film. */
const end = 64 * 1024;

export async function markOf(file: Blob): Promise<string> {
  const part = async (from: number, to: number) => hash(new Uint8Array(await file.slice(from, to).arrayBuffer()));
  return `${await part(0, end)}${await part(Math.max(0, file.size - end), file.size)}`;
}

const place = "tenoff-films";

export function marks(): Record<string, string> {
  try {
    return JSON.parse(localStorage.getItem(place) ?? "{}") as Record<string, string>;
  } catch {
    return {};
  }
}

/** Remembers a film's mark while it is on its way; forgets those that are not any more. */
export function remember(id: string, mark: string, arriving: readonly Arriving[]): void {
  const kept = Object.fromEntries(Object.entries(marks()).filter(([known]) => arriving.some((a) => a.id === known)));
  try {
    localStorage.setItem(place, JSON.stringify({ ...kept, [id]: mark }));
  } catch {
    // Without storage, name and size have to do.
  }
}
