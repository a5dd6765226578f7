// The keys, on demand.
import { Dialog } from "../parts/dialog";
import { Keys } from "../parts/keys";
import { entryKeys, keyGroups } from "./core/keys";
import { useOffice } from "./office";

export function HelpDialog({ onClose }: { onClose: () => void }) {
  const office = useOffice();
  return (
    <Dialog title="Keys of the film room" wide onClose={onClose}>
      <div class="key-help">
        {keyGroups.map((group) => (
          <section key={group.title}>
            <h3>{group.title}</h3>
            <dl>
              {group.bindings.map((binding) => (
                <div key={binding.says}><dt>{binding.keys.slice(0, 2).map((key, i) => <>{i > 0 && " or "}<Keys name={key} /></>)}</dt><dd>{binding.says}</dd></div>
              ))}
            </dl>
          </section>
        ))}
        <section>
          <h3>In the reading field</h3>
          <dl>
            {entryKeys.map((key) => <div key={key.says}><dt>{key.keys.map((name) => <Keys key={name} name={name} />)}</dt><dd>{key.says}</dd></div>)}
            {office.pitchTypes.map((type) => <div key={type.code}><dt><Keys name={type.key} /></dt><dd>{type.name}</dd></div>)}
          </dl>
        </section>
      </div>
      <p class="quiet">By mouse or touch: the wheel or two fingers look closer, on the picture and on the line of reps; dragging the whole picture steps, dragging a closer one moves it; the wheel turned sideways, or with Shift, steps; a frame of the strip or a place on that line is gone to.</p>
    </Dialog>
  );
}
