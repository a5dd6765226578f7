// How she moves on her off-speed pitches against her own fastballs, by her joints.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import { Fold } from "../parts/fold";
import type { MovesList, Sheet } from "../api/types";

export function HowSheMoves({ sheet }: { sheet: Sheet }) {
  const [moves, setMoves] = useState<MovesList>();
  const { id } = sheet.bullpen;
  useEffect(() => {
    let gone = false;
    ask("get", "/api/bullpens/{id}/moves", { path: { id } }).then(
      (answer) => !gone && setMoves(answer),
      () => undefined, // the page says elsewhere that the server does not answer
    );
    return () => {
      gone = true;
    };
  }, [id, sheet.revision]);
  if (!moves || moves.pitches.length === 0) return null;
  return (
    <Fold title="How she moves" id="how-she-moves">
      {moves.pitches.map((m) => (
        <div key={m.pitch}>
          <p>{m.sentence}</p>
          {m.differences.length > 0 && <ul class="differences">{m.differences.map((said) => <li key={said}>{said}</li>)}</ul>}
          {m.unseen.length > 0 && <p class="quiet fine">{m.unseen.join(" ")}</p>}
        </div>
      ))}
      <p class="quiet fine">Measured from her joints as one camera sees them, and only against her own fastballs of this bullpen. It says what differs, not what is right.</p>
    </Fold>
  );
}
