// The delivery sheet: her fastball's four instants above the change-up's, as one picture.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { DeliverySheet as Facts } from "../api/types";
import type { Language } from "../said/say";

/** A bullpen's sheet of the reps named, or of typical ones; null where there is none, undefined until that is known. */
export function useDelivery(bullpenId: string, revision: number, off = "", fast = "", language: Language = "en"): Facts | null | undefined {
  const [facts, setFacts] = useState<Facts | null>();
  useEffect(() => {
    const stop = new AbortController();
    const query = { ...(off && { off }), ...(fast && { fast }), in: language };
    ask("get", "/api/bullpens/{id}/delivery", { path: { id: bullpenId }, query, signal: stop.signal }).then(setFacts, () => {
      if (!stop.signal.aborted) setFacts(null); // the instants of one of them are not known
    });
    return () => stop.abort();
  }, [bullpenId, revision, off, fast, language]);
  return facts;
}

/** The picture itself; what it shows is said in words. */
export function DeliveryPicture({ facts }: { facts: Facts }) {
  return <img class="delivery-picture" src={facts.picture} alt={facts.words} />;
}

/** The picture with the choice of its reps; nothing where no delivery is known whole. */
export function DeliverySheet({ bullpenId, revision }: { bullpenId: string; revision: number }) {
  const [off, setOff] = useState("");
  const [fast, setFast] = useState("");
  const facts = useDelivery(bullpenId, revision, off, fast);
  if (!facts) return null;
  const pick = (label: string, value: string, choices: Facts["offChoices"], set: (id: string) => void) => choices.length > 1 && (
    <label class="field inline">
      <span>{label}</span>
      <select class="input" value={value} onChange={(event) => set(event.currentTarget.value)}>
        {choices.map((c) => <option key={c.repId} value={c.repId}>{c.label}</option>)}
      </select>
    </label>
  );
  return (
    <section class="delivery-sheet" aria-labelledby="delivery">
      <h2 id="delivery">Delivery, beside her own fastball</h2>
      <a href={facts.picture} target="_blank" rel="noreferrer" title="See it large"><DeliveryPicture facts={facts} /></a>
      <div class="row">
        {pick("Above", facts.fast.repId, facts.fastChoices, setFast)}
        {pick("Below", facts.off.repId, facts.offChoices, setOff)}
        <a class="button" href={`${facts.picture}&download=1`} download={facts.fileName}>Save the picture</a>
      </div>
    </section>
  );
}
