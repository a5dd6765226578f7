// How far the frame on show is from the chosen rep's release, which it is, and when.
import { useOffice } from "./office";
import { rateText, timeText } from "./said";
import { useWatched } from "./watch";

export function Readout() {
  const office = useOffice();
  const { frame, playing, looping, speed, painted } = useWatched(office.onShow, () => {
    const { frame, playing, looping, speed, painted } = office.room.state;
    return { frame, playing, looping, speed, painted };
  });
  const clock = useWatched(office.onShow, () => office.clock);
  const release = useWatched(office.onShow, () => {
    const rep = office.room.chosen()?.rep;
    return rep?.filmId === office.room.state.film ? rep?.release : undefined;
  });
  // Until its first picture is there, no frame is on show.
  if (!clock || !painted) return <p class="readout">&nbsp;</p>;
  return (
    <p class="readout">
      {release !== undefined && <b class="from-release">{fromRelease(frame - release, clock.realSeconds(release, frame))}</b>}
      <span class="which">frame <span data-frame={frame}>{frame}</span>, {timeText(clock.fileSeconds(frame))}</span>
      {playing && <span class="state">{`${looping ? "loop" : "plays"} at ${rateText(speed)}`}</span>}
    </p>
  );
}

function fromRelease(frames: number, seconds: number): string {
  if (frames === 0) return "release";
  const ms = Math.round(Math.abs(seconds) * 1000);
  const n = Math.abs(frames);
  const distance = ms > 9999 ? timeText(Math.abs(seconds)) : `${ms} ms`;
  return `${n} ${n === 1 ? "frame" : "frames"} ${frames < 0 ? "before" : "after"} release, ${distance}`;
}
