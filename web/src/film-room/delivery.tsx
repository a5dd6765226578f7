// The delivery under the picture: how far the frame on show is from release, and the four
// instants of the chosen rep as places to go to.
import { instants, type Instant } from "./core/change";
import { agreeing, placeOf } from "./core/found";
import { useOffice } from "./office";
import { Readout } from "./readout";
import { useWatched } from "./watch";

export function Delivery() {
  const office = useOffice();
  const { room, changes } = office;
  const rep = useWatched(changes, () => room.chosen()?.rep);
  const frame = useWatched(changes, () => (rep?.filmId === room.state.film ? room.state.wanted : -1));
  const known = rep?.filmId ? instants.filter((i) => placeOf(rep, i) !== undefined) : [];
  return (
    <div class="delivery">
      <Readout />
      {rep && known.length > 0 && (
        <div class="stops" role="group" aria-label={`Go through the delivery of rep ${rep.order}`}>
          {instants.map((i) => <Stop key={i} instant={i} at={placeOf(rep, i)} here={frame} sure={rep[i] !== undefined || (rep.found?.[i].sure ?? false)} go={(to) => room.open(rep.filmId!, to)} agrees={agreeing(rep, i)} />)}
        </div>
      )}
    </div>
  );
}

interface StopProps {
  instant: Instant;
  at: number | undefined;
  here: number;
  sure: boolean;
  agrees: string;
  go: (frame: number) => void;
}

function Stop({ instant, at, here, sure, agrees, go }: StopProps) {
  return (
    <button type="button" class={`stop${at === here ? " here" : ""}${sure ? "" : " unsure"}`} disabled={at === undefined} aria-current={at === here} title={at === undefined ? `${instant}: not marked` : `To ${instant}${agrees}`} onClick={() => at !== undefined && go(at)}>
      {instant}{!sure && at !== undefined && "?"}
    </button>
  );
}
