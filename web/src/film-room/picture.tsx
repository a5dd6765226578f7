// The picture itself, and under it which frame it shows. Dragging across it or
// turning the wheel steps; a click plays and stops.
import { useLayoutEffect, useRef } from "preact/hooks";
import { DrawingLayer } from "../drawing/layer";
import { address } from "../api/client";
import { useOffice } from "./office";
import { pictureAt } from "./core/strip";
import { PitcherBox } from "./pitcher-box";
import { rateText, timeText } from "./said";
import { useWatched } from "./watch";

/** Pixels of dragging that make one frame. */
const pixelsPerFrame = 9;
/** Wheel units that make one frame. */
const wheelPerFrame = 40;

export function Picture() {
  const office = useOffice();
  const { room } = office;
  const place = useRef<HTMLDivElement>(null);
  const drag = useRef<{ x: number; frame: number; moved: boolean } | undefined>(undefined);
  const rolled = useRef(0);
  const film = useWatched(office.changes, () => office.film);

  useLayoutEffect(() => {
    const { video } = office.projector;
    place.current?.prepend(video);
    video.setAttribute("aria-label", "The film. The frame on show is named below it.");
    return () => video.remove();
  }, [office]);

  useLayoutEffect(() => {
    const element = place.current;
    const wheel = (event: WheelEvent) => {
      if (event.ctrlKey) return;
      event.preventDefault();
      rolled.current += event.deltaMode === 0 ? event.deltaY : event.deltaY * 33;
      const frames = Math.trunc(rolled.current / wheelPerFrame);
      if (frames === 0) return;
      rolled.current -= frames * wheelPerFrame;
      room.act({ do: "step", frames });
    };
    element?.addEventListener("wheel", wheel, { passive: false });
    return () => element?.removeEventListener("wheel", wheel);
  }, [room]);

  const move = (event: PointerEvent) => {
    const from = drag.current;
    if (!from) return;
    const frames = Math.round((event.clientX - from.x) / pixelsPerFrame);
    if (frames === 0 && !from.moved) return;
    from.moved = true;
    room.go(from.frame + frames);
  };
  const end = () => {
    if (drag.current && !drag.current.moved) room.act({ do: "play" });
    drag.current = undefined;
  };
  const portrait = film !== undefined && film.height > film.width;
  return (
    <div class={`picture-place${portrait ? " portrait" : ""}`}>
      <div
        ref={place}
        class="screen-of-film"
        onPointerDown={(event) => {
          if (event.button !== 0 || !film) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          drag.current = { x: event.clientX, frame: room.state.frame, moved: false };
        }}
        onPointerMove={move}
        onPointerUp={end}
        onPointerCancel={() => (drag.current = undefined)}
      >
        <Meanwhile />
        <Dark />
        <PitcherBox />
        <DrawingLayer />
      </div>
      <Readout />
    </div>
  );
}

/** Until the film paints its first frame, the picture along the timeline that lies nearest to it. */
function Meanwhile() {
  const office = useOffice();
  const { wanted, painted } = useWatched(office.changes, () => {
    const { wanted, painted } = office.room.state;
    return { wanted, painted };
  });
  const film = useWatched(office.changes, () => office.film);
  const clock = useWatched(office.changes, () => office.clock);
  if (painted || !film?.strip) return null;
  // The clock takes a moment too; as if all frames were as long as each other is near enough.
  const seconds = clock ? clock.fileSeconds(wanted) : (film.seconds * wanted) / film.frames;
  const picture = pictureAt(film.strip, seconds);
  return picture === undefined ? null : <img class="meanwhile" src={address("/api/films/{id}/strip/{picture}", { id: film.id, picture: `${picture}.jpg` })} alt="" />;
}

/** Instead of the film: why it is not shown. */
function Dark() {
  const office = useOffice();
  const dark = useWatched(office.changes, () => office.dark);
  return dark === "" ? null : <p class="dark" role="alert">{dark}</p>;
}

/** Which frame is on show, when, and how far from the chosen rep's release. */
function Readout() {
  const office = useOffice();
  const { frame, playing, looping, speed, painted } = useWatched(office.changes, () => {
    const { frame, playing, looping, speed, painted } = office.room.state;
    return { frame, playing, looping, speed, painted };
  });
  const clock = useWatched(office.changes, () => office.clock);
  const release = useWatched(office.changes, () => {
    const rep = office.room.chosen()?.rep;
    return rep?.filmId === office.room.state.film ? rep?.release : undefined;
  });
  // Until its first picture is there, no frame is on show.
  if (!clock || !painted) return <p class="readout">&nbsp;</p>;
  return (
    <p class="readout">
      <span>frame <b data-frame={frame}>{frame}</b> of {clock.frames - 1}</span>
      <span>{timeText(clock.fileSeconds(frame))}</span>
      {release !== undefined && <span class="from-release">{fromRelease(frame - release, clock.realSeconds(release, frame))}</span>}
      <span class="state">{playing ? `${looping ? "loop" : "plays"} at ${rateText(speed)}` : ""}</span>
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
