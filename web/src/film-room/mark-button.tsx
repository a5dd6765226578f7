// The one mark that makes a rep.
import { hint } from "./hint";
import { marksNext } from "./next-step";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function MarkButton() {
  const office = useOffice();
  const { room, changes } = office;
  const film = useWatched(changes, () => office.film?.id);
  const main = useWatched(changes, () => marksNext(office));
  return (
    <button type="button" class={`button${main ? " primary" : ""} mark`} title={hint("The ball leaves the hand in this frame", { do: "mark" })} onClick={() => room.act({ do: "mark" })}>
      {film ? "Mark release" : "Log a rep without film"} <kbd>M</kbd>
    </button>
  );
}
