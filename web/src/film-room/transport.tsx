// What moves the film, and the one mark that makes a rep of the frame on show.
import type { Action } from "./core/keys";
import { speeds } from "./core/room";
import { hint } from "./hint";
import { HoldButton } from "./hold-button";
import { MarkButton } from "./mark-button";
import { useOffice } from "./office";
import { rateSign, rateText } from "./said";
import { useWatched } from "./watch";

export function Transport() {
  const office = useOffice();
  const { room } = office;
  const { playing, speed } = useWatched(office.changes, () => {
    const { playing, speed } = room.state;
    return { playing, speed };
  });
  const act = (action: Action) => () => room.act(action);
  const step = (frames: number, label: string, text: string) => (
    <HoldButton label={`${text}: ${label.toLowerCase()}`} title={hint(label, { do: "step", frames })} onPress={act({ do: "step", frames })}>{text}</HoldButton>
  );
  const slower = () => room.setSpeed(speeds[(speeds.indexOf(speed as (typeof speeds)[number]) + 1) % speeds.length]!);
  return (
    <div class="transport" role="group" aria-label="Move through the film">
      <div class="steps">
        {step(-1, "One frame back", "−1")}
        <button type="button" class="button play" onClick={act({ do: "play" })} title={hint(playing ? "Stop" : "Play", { do: "play" })}>
          <PlaySign playing={playing} />
          {playing ? "Stop" : "Play"}
        </button>
        {step(1, "One frame on", "+1")}
        <button type="button" class="button speed" aria-label={`${rateSign(speed)}×: ${rateText(speed)}, the next speed`} title="Playing speed: S slower, F faster" onClick={slower}>{rateSign(speed)}×</button>
      </div>
      <MarkButton />
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
