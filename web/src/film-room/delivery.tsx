// The delivery under the picture: how far the frame on show is from release, and the four
// instants of the chosen rep as places to go to.
import { Stops } from "../parts/stops";
import { instants, type Instant } from "./core/change";
import { placeOf, sentenceOfInstant } from "./core/found";
import { useOffice } from "./office";
import { Readout } from "./readout";
import { useWatched } from "./watch";

export function Delivery() {
  const office = useOffice();
  const { room, changes } = office;
  const rep = useWatched(changes, () => room.chosen()?.rep);
  const frame = useWatched(changes, () => (rep?.filmId === room.state.film ? room.state.wanted : -1));
  const known = rep?.filmId !== undefined && instants.some((i) => placeOf(rep, i) !== undefined);
  const stopAt = (i: Instant) => {
    const at = rep && placeOf(rep, i);
    return {
      name: i, here: at !== undefined && at === frame, unsure: at !== undefined && rep?.[i] === undefined && !rep?.found?.[i].within,
      ...(at === undefined ? { title: `${i}: not marked` } : { title: sentenceOfInstant(rep!, i), go: () => room.open(rep!.filmId!, at) }),
    };
  };
  return (
    <div class="delivery">
      <Readout />
      {known && <Stops label={`Go through the delivery of rep ${rep.order}`} stops={instants.map(stopAt)} />}
    </div>
  );
}
