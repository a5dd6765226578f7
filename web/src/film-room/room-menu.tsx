// What is rare, behind one button. Everything in it has its key too.
import type { ComponentChildren } from "preact";
import { PickFilms } from "../intake/drop";
import { Menu } from "../parts/menu";
import { keyFor, type Action } from "./core/keys";
import { useOffice } from "./office";
import { BoxSwitch } from "./pitcher-box";
import { useWatched } from "./watch";

export function RoomMenu() {
  const office = useOffice();
  const { room, changes, sheet } = office;
  const film = useWatched(changes, () => office.film?.id);
  const { looping } = useWatched(changes, () => ({ looping: room.state.looping }));
  const drawing = useWatched(changes, () => office.board.open);
  const joints = useWatched(changes, () => office.joints.on);
  const traces = useWatched(changes, () => office.traces);
  const loupe = useWatched(changes, () => office.view.loupe);
  const redo = useWatched(changes, () => office.ledger.history.canRedo);
  const item = (says: ComponentChildren, action: Action, more: { pressed?: boolean; disabled?: boolean } = {}) => {
    const key = keyFor(action);
    return (
      <button type="button" class="button plain" {...(more.pressed !== undefined ? { "aria-pressed": more.pressed } : {})} disabled={more.disabled ?? false} onClick={() => room.act(action)}>
        <span>{says}</span>{key && <kbd>{key}</kbd>}
      </button>
    );
  };
  return (
    <Menu>
      {film && (
        <div role="group" aria-label="Picture">
          {item("Ten frames back", { do: "step", frames: -10 })}
          {item("Ten frames on", { do: "step", frames: 10 })}
          {item("Closer", { do: "zoom", by: 1 })}
          {item("Wider", { do: "zoom", by: -1 })}
          {item("Whole picture", { do: "whole" })}
          {item("Loupe", { do: "loupe" }, { pressed: loupe })}
          {item("Her joints", { do: "joints" }, { pressed: joints })}
          {item("Draw on this frame", { do: "draw" }, { pressed: drawing })}
          {item("Loop around the release", { do: "loop" }, { pressed: looping })}
          {item("Motion and sound", { do: "traces" }, { pressed: traces })}
          {item("Line of reps closer", { do: "line", by: 1 })}
          {item("Line of reps wider", { do: "line", by: -1 })}
          {item("Whole film", { do: "wholeLine" })}
        </div>
      )}
      <div role="group" aria-label="This bullpen">
        {film && item("Hear readings", { do: "listen" })}
        {item("Many readings", { do: "column" })}
        {item("Films and gun", { do: "about" })}
        {film && <BoxSwitch />}
        {item("Redo", { do: "redo" }, { disabled: !redo })}
        <PickFilms bullpenId={sheet.bullpen.id}>Add film</PickFilms>
        {item("Keys", { do: "help" })}
      </div>
    </Menu>
  );
}
