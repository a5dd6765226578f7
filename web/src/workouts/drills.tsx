// The instructor's own drills, each with a sentence of how it is done.
import { useState } from "preact/hooks";
import { ask } from "../api/client";
import type { Drill } from "../api/types";
import { BurnHint } from "../parts/burn-hint";
import { act } from "../shell/act";
import { Fold } from "../parts/fold";
import { Dialog } from "../parts/dialog";

export function Drills({ drills, refresh }: { drills: readonly Drill[]; refresh: () => void }) {
  const [open, setOpen] = useState<Drill | "new">();
  return (
    <Fold title={`Drills (${drills.length})`} id="drills">
      <ul class="cards">
        {drills.map((d) => (
          <li key={d.id} class="card item">
            <h3>{d.name}</h3>
            <p>{d.howTo}</p>
            <button type="button" class="button" aria-label={`Change ${d.name}`} onClick={() => setOpen(d)}>Change</button>
          </li>
        ))}
      </ul>
      <div><button type="button" class="button" onClick={() => setOpen("new")}>New drill</button></div>
      {open && <DrillDialog {...(open === "new" ? {} : { drill: open })} onClose={() => setOpen(undefined)} refresh={refresh} />}
    </Fold>
  );
}

function DrillDialog({ drill, refresh, onClose }: { drill?: Drill; refresh: () => void; onClose: () => void }) {
  const [name, setName] = useState(drill?.name ?? "");
  const [howTo, setHowTo] = useState(drill?.howTo ?? "");
  const after = (done: boolean) => {
    if (!done) return;
    refresh();
    onClose();
  };
  const save = async (event: Event) => {
    event.preventDefault();
    const body = { name, howTo };
    after(await act(drill ? ask("patch", "/api/drills/{id}", { path: { id: drill.id }, body: { ...body, version: drill.version } }) : ask("post", "/api/drills", { body }), "The drill is kept."));
  };
  return (
    <Dialog title={drill ? "Drill" : "New drill"} onClose={onClose}>
      <form class="stack" onSubmit={(e) => void save(e)}>
        <label class="field"><span>Name</span><input class="input" data-first required maxLength={80} value={name} onInput={(e) => setName(e.currentTarget.value)} /><BurnHint text={name} /></label>
        <label class="field"><span>How it is done, in a sentence or two</span><textarea class="input" rows={3} maxLength={600} value={howTo} onInput={(e) => setHowTo(e.currentTarget.value)} /></label>
        <p class="quiet">What was handed out keeps the words it had.</p>
        <footer>
          {drill && <button type="button" class="button" onClick={() => void act(ask("delete", "/api/drills/{id}", { path: { id: drill.id } }), `${drill.name} is off the list.`).then(after)}>Take it off the list</button>}
          <button class="button primary">Keep the drill</button>
        </footer>
      </form>
    </Dialog>
  );
}
