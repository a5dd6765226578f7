// Deletes a pitcher or a bullpen, once what goes with it was counted and seen.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Removed } from "../api/types";
import { bytesText } from "../words/size";
import { countText } from "./counted";
import { Dialog } from "./dialog";

interface Props {
  what: "pitcher" | "bullpen";
  id: string;
  /** "Wren", "the bullpen of 12 April". */
  name: string;
  onGone: () => void;
  onClose: () => void;
}

export function Removal({ what, id, name, onGone, onClose }: Props) {
  const [count, setCount] = useState<Removed>();
  const [problem, setProblem] = useState("");
  const [busy, setBusy] = useState(false);
  const look = useCallback(() => {
    const asked = what === "pitcher" ? ask("get", "/api/pitchers/{id}/removal", { path: { id } }) : ask("get", "/api/bullpens/{id}/removal", { path: { id } });
    asked.then(setCount, (failure) => setProblem(sentenceOf(failure)));
  }, [what, id]);
  useEffect(look, [look]);
  const remove = async () => {
    setBusy(true);
    const query = { confirm: count?.confirm ?? "" };
    try {
      await (what === "pitcher" ? ask("delete", "/api/pitchers/{id}", { path: { id }, query }) : ask("delete", "/api/bullpens/{id}", { path: { id }, query }));
      onGone();
    } catch (failure) {
      setProblem(sentenceOf(failure));
      setBusy(false);
      look();
    }
  };
  return (
    <Dialog title={`Delete ${name}?`} onClose={onClose}>
      {count ? <p>This takes away, for good: {countText(count)}. {bytesText(count.bytes)} are freed.</p> : <p class="quiet">Counting what goes …</p>}
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <footer>
        <button type="button" class="button" data-first onClick={onClose}>Keep it</button>
        <button type="button" class="button primary" disabled={!count || busy} onClick={() => void remove()}>Delete all of it</button>
      </footer>
    </Dialog>
  );
}
