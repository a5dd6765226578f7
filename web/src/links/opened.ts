// What a private link opens, for the page that it leads to: the token stands behind the #
// of its address and goes nowhere but to our own server.
import { useCallback, useEffect, useState } from "preact/hooks";
import { APIError } from "../api/client";

export const token = (): string => location.hash.slice(1);

export interface Opened<Page> {
  /** What it opens, once it is known. */
  page: Page | undefined;
  /** Why it can't be read just now; undefined while all is well. */
  failure: unknown;
  /** It opens nothing: it ran out, was closed, or never was one. */
  closed: boolean;
  refresh: () => void;
}

/** Reads what the page's link opens, anew whenever somebody looks at the page again. */
export function useOpened<Page>(read: () => Promise<Page>): Opened<Page> {
  const [page, setPage] = useState<Page>();
  const [failure, setFailure] = useState<unknown>();
  const [closed, setClosed] = useState(false);
  const refresh = useCallback(() => {
    if (token() === "") return setClosed(true);
    read().then(
      (fresh) => {
        setPage(fresh);
        setFailure(undefined);
      },
      (failed: unknown) => {
        const status = failed instanceof APIError ? failed.status : -1;
        if (status === 401 || status === 403 || status === 404) setClosed(true);
        else setFailure(failed);
      },
    );
  }, [read]);
  useEffect(() => {
    refresh();
    const look = () => document.visibilityState === "visible" && refresh();
    const other = () => location.reload();
    document.addEventListener("visibilitychange", look);
    addEventListener("online", look);
    addEventListener("hashchange", other);
    return () => {
      document.removeEventListener("visibilitychange", look);
      removeEventListener("online", look);
      removeEventListener("hashchange", other);
    };
  }, [refresh]);
  return { page, failure, closed, refresh };
}
