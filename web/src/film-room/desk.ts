// The ledger's way to the API.
import { ask } from "../api/client";
import type { NewRep, RepEdit } from "../api/types";
import type { Fields } from "./core/change";
import type { Desk } from "./core/ledger";

export function deskOf(bullpenId: string, changed: () => void): Desk {
  /** Other reps' numbers may have moved with a change: the sheet is read again. */
  const then = <T>(answer: T): T => {
    changed();
    return answer;
  };
  return {
    add: (key, fields) => ask("post", "/api/bullpens/{id}/reps", { path: { id: bullpenId }, body: { ...bare(fields), key } }).then(then),
    edit: (id, version, fields, marksOf) =>
      ask("patch", "/api/reps/{id}", { path: { id }, body: { ...fields, version, ...(marksOf ? { marksOf } : {}) } as RepEdit }).then(then),
    remove: (id, version) => ask("delete", "/api/reps/{id}", { path: { id }, query: { version } }).then(then),
    restore: (id) => ask("post", "/api/reps/{id}/restore", { path: { id } }).then(then),
    accept: (ids) => ask("post", "/api/bullpens/{id}/instants/accept", { path: { id: bullpenId }, body: { repIds: [...ids] } }).then(() => changed()),
    enter: (run, revision) => ask("post", "/api/bullpens/{id}/readings", { path: { id: bullpenId }, body: { ...run, revision } }).then(({ logged }) => then(logged)),
    reps: () => ask("get", "/api/bullpens/{id}", { path: { id: bullpenId } }),
    wait: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
  };
}

/** A new rep's fields: what is taken away was never there. */
function bare(fields: Fields): NewRep {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null)) as NewRep;
}
