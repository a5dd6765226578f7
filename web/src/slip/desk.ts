// The student's page's one way to the server: the token behind the # of the link
// opens her homework and nothing else.
import { ask } from "../api/client";
import type { SlipPage, SlipWords } from "../api/types";
import { token } from "../links/opened";
import { saidHeader } from "../said/language";

/** What every request of this page carries. */
export const pass = (): Record<string, string> => ({ Slip: token(), ...saidHeader() });

export const readSlip = (): Promise<SlipPage> => ask("get", "/api/slip", { headers: pass() });

export const saveWords = (words: SlipWords): Promise<SlipPage> => ask("put", "/api/slip/words", { body: words, headers: pass() });

/** Gives up what the server has of a film. */
export const dropUpload = (id: string): Promise<unknown> =>
  fetch(`/api/slip/uploads/${encodeURIComponent(id)}`, { method: "DELETE", headers: { ...pass(), "Tus-Resumable": "1.0.0" } });
