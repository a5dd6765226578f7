// Giving a pitcher to another instructor. Whoever is alone sees nothing of it.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Instructor, PitcherPage } from "../api/types";
import { act } from "../shell/act";
import { navigate } from "../shell/router";
import { to } from "../shell/routes";

export function Another({ pitcher: p }: { pitcher: PitcherPage["pitcher"] }) {
  const [others, setOthers] = useState<Instructor[]>([]);
  const [chosen, setChosen] = useState("");
  useEffect(() => void ask("get", "/api/instructors").then((list) => setOthers(list.instructors), () => {}), []);
  if (others.length === 0) return null;
  const give = async (event: Event) => {
    event.preventDefault();
    const name = others.find((o) => o.id === chosen)?.name ?? "";
    if (await act(ask("post", "/api/pitchers/{id}/move", { path: { id: p.id }, body: { version: p.version, to: chosen } }), `${p.label} is ${name}’s pitcher now.`)) navigate(to.home);
  };
  return (
    <details class="fold"><summary>Another instructor</summary>
      <div class="folded">
        <form class="stack card" onSubmit={(e) => void give(e)}>
          <p>{p.label} goes with all her bullpens, films and homework, and the other instructor sees them all: ask her guardian first. What the guardian said yes to was said to you, and does not count for somebody else until it is asked again; her links are closed at once. Originals of homework that you answered are kept until it is answered again. You will not see her any more, and both of you are told.</p>
          <label class="field"><span>To whom</span>
            <select class="input" required value={chosen} onChange={(e) => setChosen(e.currentTarget.value)}>
              <option value="">choose</option>
              {others.map((o) => <option key={o.id} value={o.id}>{o.name}</option>)}
            </select>
          </label>
          <div><button class="button">Give her over</button></div>
        </form>
      </div>
    </details>
  );
}
