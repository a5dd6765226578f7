// The buttons under the picture: everything its keys do.
import type { Action } from "./core/keys";
import { speeds } from "./core/room";
import { hint } from "./hint";
import { HoldButton } from "./hold-button";
import { DrawButton } from "../drawing/tools";
import { useOffice } from "./office";
import { rateSign, rateText } from "./said";
import { useWatched } from "./watch";

export function Transport() {
  const office = useOffice();
  const { room } = office;
  const { playing, looping, speed } = useWatched(office.changes, () => {
    const { playing, looping, speed } = room.state;
    return { playing, looping, speed };
  });
  const proposed = useWatched(office.changes, () => office.sheet.proposals.some((p) => p.reason !== "unexplained motion"));
  const act = (action: Action) => () => room.act(action);
  const step = (frames: number, label: string, text: string) => (
    <HoldButton label={`${text}: ${label.toLowerCase()}`} title={hint(label, { do: "step", frames })} onPress={act({ do: "step", frames })}>{text}</HoldButton>
  );
  return (
    <div class="transport" role="group" aria-label="Move through the film">
      <div class="steps">
        {step(-10, "Ten frames back", "−10")}
        {step(-1, "One frame back", "−1")}
        <button type="button" class="button play" onClick={act({ do: "play" })} title={hint(playing ? "Stop" : "Play", { do: "play" })}>
          <PlaySign playing={playing} />
          {playing ? "Stop" : "Play"}
        </button>
        {step(1, "One frame on", "+1")}
        {step(10, "Ten frames on", "+10")}
      </div>
      <div class="speeds" role="group" aria-label="Playing speed">
        {speeds.map((s) => (
          <button key={s} type="button" class="button" aria-pressed={speed === s} aria-label={`${rateSign(s)}: ${rateText(s)}`} onClick={() => room.setSpeed(s)}>{rateSign(s)}</button>
        ))}
        <button type="button" class="button" aria-pressed={looping} onClick={act({ do: "loop" })} title={hint("Loop around the release", { do: "loop" })}>Loop</button>
        <DrawButton />
      </div>
      <div class="jumps">
        <button type="button" class="button" onClick={act({ do: "rep", by: -1 })} title={hint("Rep before", { do: "rep", by: -1 })}>Rep ↑</button>
        <button type="button" class="button" onClick={act({ do: "rep", by: 1 })} title={hint("Next rep", { do: "rep", by: 1 })}>Rep ↓</button>
        {proposed && <button type="button" class="button" onClick={act({ do: "proposal", by: 1 })} title={hint("Next proposed rep", { do: "proposal", by: 1 })}>Proposed <kbd>N</kbd></button>}
        {proposed && <button type="button" class="button" onClick={act({ do: "isRep" })} title={hint("Yes, a rep: its release is the frame on show", { do: "isRep" })}>A rep <kbd>Y</kbd></button>}
        {proposed && <button type="button" class="button" onClick={act({ do: "throwOut" })} title={hint("This proposal is no rep", { do: "throwOut" })}>No rep <kbd>X</kbd></button>}
      </div>
    </div>
  );
}

function PlaySign({ playing }: { playing: boolean }) {
  return (
    <svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true" fill="currentColor">
      {playing ? <path d="M3 2h4v14H3zM11 2h4v14h-4z" /> : <path d="M3 1l13 8-13 8z" />}
    </svg>
  );
}
