// What gives her off-speed pitches away before they are thrown, by her joints: behind a
// touch, since the answer comes first.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { PitchType, Sheet, TellsList } from "../api/types";
import { TwoPoses } from "../pictures/two-poses";
import { pitchNames } from "../words/workout";

export function WhatGivesItAway({ sheet, types }: { sheet: Sheet; types: PitchType[] }) {
  const [open, setOpen] = useState(false);
  const [list, setList] = useState<TellsList>();
  const [failure, setFailure] = useState("");
  const { id } = sheet.bullpen;
  useEffect(() => {
    if (!open) return;
    const stop = new AbortController();
    setFailure("");
    ask("get", "/api/bullpens/{id}/tells", { path: { id }, signal: stop.signal }).then(setList, (failed: unknown) => !stop.signal.aborted && setFailure(sentenceOf(failed)));
    return () => stop.abort();
  }, [open, id, sheet.revision]);
  if (sheet.films.length === 0) return null;
  return (
    <details class="depth gives-away" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What gives it away</summary>
      {failure && <p class="notice alarm" role="alert">{failure}</p>}
      {!list && !failure && <p class="quiet" role="status">Looking …</p>}
      {list?.pitches.length === 0 && <p>Nothing to look at yet: her joints are found on films from the side, round every rep with its release marked.</p>}
      {list?.pitches.map((p) => <Pitch key={p.pitch} of={p} pitch={pitchNames(types, p.pitch)} baseline={pitchNames(types, sheet.pitcher.baselinePitch)} />)}
      {list && list.pitches.length > 0 && <p class="quiet fine">Her joints are followed from before the drive to the release, and looked at everywhere at once: where nothing differs, one bullpen in twenty at most says otherwise. It says what can be seen, not what is right.</p>}
    </details>
  );
}

function Pitch({ of, pitch, baseline }: { of: TellsList["pitches"][number]; pitch: string; baseline: string }) {
  const first = of.tells[0];
  return (
    <section aria-label={`What gives her ${pitch} away`}>
      <p>{of.sentence}</p>
      {first && <TwoPoses fast={first.fast as [number, number, number][]} off={first.off as [number, number, number][]} lit={first.lit} baseline={baseline} pitch={pitch} says={`Her mean pose on ${baseline} and on ${pitch} over each other, where they differ most. ${first.sentence}`} />}
      {of.tells.length > 0 && <ul>{of.tells.map((t) => <li key={t.sentence}>{t.sentence} {t.on}</li>)}</ul>}
      {of.caution && <p class="notice">{of.caution}</p>}
      {of.toHer && <p class="quiet">To tell her: <q lang={of.language}>{of.toHer}</q></p>}
    </section>
  );
}
