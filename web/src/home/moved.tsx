// What the instructor is told of pitchers who came from a colleague or went to one.
import { ask } from "../api/client";
import type { Move } from "../api/types";
import { act } from "../shell/act";
import { Link } from "../shell/router";
import { to } from "../shell/routes";

export function Moved({ moves, refresh }: { moves: Move[]; refresh: () => void }) {
  const putAway = async (m: Move) => {
    if (await act(ask("delete", "/api/moves/{id}", { path: { id: m.id } }), "Put away.")) refresh();
  };
  return (
    <>
      {moves.map((m) => (
        <p key={m.id} class="notice">
          {m.said} {m.pitcherId && <Link to={to.pitcher(m.pitcherId)}>Open {m.label}</Link>}{" "}
          <button type="button" class="button" aria-label={`Put away what was said of ${m.label}`} onClick={() => void putAway(m)}>Put away</button>
        </p>
      ))}
    </>
  );
}
