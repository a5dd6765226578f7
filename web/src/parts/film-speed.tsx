// The film's second opinion on a reading: quiet beside it, loud only where film and
// gun can't both be right.
import type { FilmSpeed, Unit } from "../api/types";
import { speedText } from "../words/speed";

const how = "From the release to the pop in the sound, over her pitching distance. It checks the gun and never replaces it; 95 of 100 lie within the range.";

/** "film 54 ± 2 mph". */
export function FilmSpeedLine({ said, unit }: { said: FilmSpeed; unit: Unit }) {
  if (!said.speed || !said.u) return null;
  const range = speedText({ mph: 2 * said.u.mph, kmh: 2 * said.u.kmh }, unit, false);
  return <span class="film-speed" title={how}>film {speedText(said.speed, unit, false)} ± {range} {unit}</span>;
}

/** "film 54", or "film 47?" where it speaks against the reading, with what is asked to be read on it; for a ledger's cell. */
export function FilmSpeedAside({ said, unit, asked }: { said: FilmSpeed | undefined; unit: Unit; asked: string }) {
  if (!said?.speed) return null;
  const text = `film ${speedText(said.speed, unit, false)}`;
  return said.asks
    ? <span class="film-speed doubted" title={asked}>{text}?</span>
    : <span class="film-speed" title={how}>{text}</span>;
}
