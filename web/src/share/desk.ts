// The page's one way to the server: the token behind the # of the link opens one bullpen's
// result and nothing else.
import { ask } from "../api/client";
import type { SharePage } from "../api/types";
import { token } from "../links/opened";
import { saidHeader } from "../said/language";

export const readShare = (): Promise<SharePage> => ask("get", "/api/share", { headers: { Share: token(), ...saidHeader() } });
