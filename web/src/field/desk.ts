// The field page's one way to the laptop: by the token behind the # of its link, or as
// whoever is signed in on this phone.
import { ask } from "../api/client";
import type { FieldPage, FieldTaken } from "../api/types";
import { sending, type Kept } from "./book";

export const token = (): string => location.hash.slice(1);

const pass = (): Record<string, string> => (token() ? { Field: token() } : {});

export const readPage = (): Promise<FieldPage> => ask("get", "/api/field", { headers: pass() });

export const tell = (entries: readonly Kept[]): Promise<FieldTaken> =>
  ask("put", "/api/field/entries", { headers: pass(), body: { entries: entries.map((e) => sending(e, token())) } });

const place = "tenoff-field-page";

/** The page as the laptop said it last, for this link. */
export function knownPage(): FieldPage | undefined {
  try {
    const known = JSON.parse(localStorage.getItem(place) ?? "") as { token: string; page: FieldPage };
    return known.token === token() ? known.page : undefined;
  } catch {
    return undefined;
  }
}

export function rememberPage(page: FieldPage): void {
  try {
    localStorage.setItem(place, JSON.stringify({ token: token(), page }));
  } catch {
    // Then it is asked for again.
  }
}

/** Has the browser keep this page; whether it does. */
export async function keepPage(): Promise<boolean> {
  if (!("serviceWorker" in navigator)) return false;
  try {
    await navigator.serviceWorker.register("/field-worker.js", { scope: "/field" });
    await navigator.serviceWorker.ready;
    return true;
  } catch {
    return false;
  }
}

export function storage(): Storage | undefined {
  try {
    return localStorage;
  } catch {
    return undefined;
  }
}
