// What is asked about a reading while it is typed: the server's question, the same as
// once it is saved.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Pitch } from "../api/types";
import { useOffice } from "./office";

/** How long typing rests before the question is asked for. */
const rest = 200;

/** A number below is one that is not typed to its end. */
const least = 10;

/** The question about the reading in the open field, "" for none. */
export function useAsked(): string {
  const { room, ledger, sheet } = useOffice();
  const typed = room.typed();
  const body = typed && typed.reading.value >= least ? {
    reading: typed.reading,
    ...(typed.pitch ? { pitch: typed.pitch as Pitch } : {}),
    ...(typed.rep ? { repId: ledger.idOf(ledger.keyOf(typed.rep.id)), drill: typed.rep.drill, warmUp: typed.rep.warmUp } : {}),
  } : undefined;
  const about = JSON.stringify(body ?? null);
  const [said, setSaid] = useState({ about: "", doubt: "" });
  useEffect(() => {
    if (!body) return;
    const stop = new AbortController();
    const timer = setTimeout(() => {
      ask("post", "/api/bullpens/{id}/readings/doubt", { path: { id: sheet.bullpen.id }, body, signal: stop.signal }).then(
        ({ doubt }) => setSaid({ about, doubt }),
        () => {}, // it is asked again once the reading is saved
      );
    }, rest);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [about, sheet.bullpen.id]);
  return said.about === about ? said.doubt : "";
}
