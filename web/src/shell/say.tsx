// One sentence at a time, at the foot of the page and for a screen reader.
import { useEffect, useState } from "preact/hooks";

export interface Said {
  sentence: string;
  /** Something went wrong. */
  alarm: boolean;
  id: number;
}

let listener: ((said: Said) => void) | undefined;
let count = 0;

/** Tells the user one sentence. */
export function say(sentence: string, alarm = false): void {
  listener?.({ sentence, alarm, id: ++count });
}

/** How long a sentence stays, in ms: time to read it twice. */
const stays = (sentence: string) => 2500 + 60 * sentence.length;

export function SayingPlace() {
  const [said, setSaid] = useState<Said>();
  useEffect(() => {
    listener = setSaid;
    return () => (listener = undefined);
  }, []);
  useEffect(() => {
    if (!said) return;
    const timer = setTimeout(() => setSaid(undefined), said.alarm ? 15000 : stays(said.sentence));
    return () => clearTimeout(timer);
  }, [said]);
  return (
    <div class="saying" role="status" aria-live="polite">
      {said && (
        <p key={said.id} class={said.alarm ? "alarm" : ""}>
          {said.sentence}
          {said.alarm && <button type="button" class="button plain" onClick={() => setSaid(undefined)}>Close</button>}
        </p>
      )}
    </div>
  );
}
