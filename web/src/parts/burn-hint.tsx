// What of a text can't be burned into a clip, said while it is typed.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";

/** Every font has these; anything else is asked about. */
const plain = /^[ -~]*$/;

export function BurnHint({ text }: { text: string }) {
  const [missing, setMissing] = useState("");
  useEffect(() => {
    if (plain.test(text)) return setMissing("");
    const gone = new AbortController();
    const soon = setTimeout(() => {
      // A hint that does not come keeps nobody from typing.
      ask("post", "/api/captions", { body: { text }, signal: gone.signal }).then((said) => setMissing(said.missing ?? ""), () => {});
    }, 250);
    return () => {
      clearTimeout(soon);
      gone.abort();
    };
  }, [text]);
  return missing ? <small class="quiet" role="status">{missing}</small> : null;
}
