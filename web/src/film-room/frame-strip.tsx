// The frames around the one on show, to pick the exact one from.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { useWidth } from "../pictures/use-width";
import { FramePictures } from "../player/frame-pictures";
import { instants, type Instant } from "./core/change";
import { placeOf } from "./core/found";
import { useOffice } from "./office";
import { playable } from "./projector";
import { useWatched } from "./watch";

const most = 11;
const pictureHeight = 96;
/** How long the picture rests before the frames around it are fetched, in ms. */
const rest = 90;
/** Narrower than this a picture shows too little. */
const narrowest = 64;

/** How an instant is told: a mark by its name alone. */
const signs = { marked: "", found: "found: ", unsure: "not found, would be: " };

export function FrameStrip() {
  const office = useOffice();
  const { room, changes } = office;
  const [box, width] = useWidth<HTMLDivElement>();
  const clock = useWatched(changes, () => office.clock);
  const film = useWatched(changes, () => office.film?.id);
  const centre = useWatched(changes, () => (room.state.playing ? -1 : room.state.wanted));
  const [, arrived] = useState(0);
  const pictures = useMemo(() => new FramePictures(pictureHeight, () => arrived((n) => n + 1)), []);
  const still = useRef(0);
  if (centre >= 0) still.current = centre;

  useEffect(() => {
    if (film && clock) pictures.open(playable(film, clock), clock);
    return () => pictures.close();
  }, [film, clock !== undefined]);
  // Once the film was read its working copy is there; the pictures stay.
  useEffect(() => {
    if (film && clock && !clock.original) pictures.change(playable(film, clock), clock);
  }, [clock?.original]);

  const count = Math.max(3, Math.min(most, oddBelow(Math.floor(width / narrowest))));
  const frames = around(still.current, count, clock?.frames ?? 0);

  // The frame on show is taken as it is painted; the ones around it are fetched
  // once the picture rests, so that they never hold up a step.
  const shown = useWatched(changes, () => (room.state.playing ? -1 : room.state.frame));
  useLayoutEffect(() => {
    if (shown >= 0 && shown === centre && office.projector.shows(film, shown)) pictures.take(shown, office.projector.video);
  }, [shown, centre, film]);
  useEffect(() => {
    if (centre < 0 || !clock) return;
    const fetch = () => {
      const wide = around(centre, count + 4, clock.frames);
      pictures.want([...wide].sort((a, b) => Math.abs(a - centre) - Math.abs(b - centre)));
    };
    const timer = setTimeout(fetch, rest);
    return () => clearTimeout(timer);
  }, [centre, count, clock, film]);

  const marks = useWatched(changes, () => {
    const marks: Record<number, { name: Instant; kind: "marked" | "found" | "unsure" }> = {};
    for (const { rep } of office.ledger.rows()) {
      if (rep.filmId !== film) continue;
      for (const name of instants) {
        const frame = placeOf(rep, name);
        if (frame === undefined || Math.abs(frame - still.current) > most) continue;
        const kind = rep[name] !== undefined ? "marked" : rep.found?.[name].sure ? "found" : "unsure";
        if (kind === "marked" || marks[frame]?.kind !== "marked") marks[frame] = { name, kind };
      }
    }
    return marks;
  });

  return (
    <div ref={box} class={`frame-strip${centre < 0 ? " resting" : ""}`} role="group" aria-label="The frames around this one">
      {frames.map((frame) => (
        <button
          key={frame}
          type="button"
          tabIndex={-1}
          class={frame === still.current ? "here" : ""}
          aria-label={`Frame ${frame}${marks[frame] ? `, ${signs[marks[frame].kind]}${marks[frame].name}` : ""}`}
          aria-current={frame === still.current}
          onClick={() => room.go(frame)}
        >
          <Thumb picture={pictures.picture(frame)} />
          <span class={marks[frame]?.kind ?? ""}>{marks[frame]?.name ?? frame}{marks[frame]?.kind === "unsure" && "?"}</span>
        </button>
      ))}
    </div>
  );
}

function Thumb({ picture }: { picture: HTMLCanvasElement | undefined }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useLayoutEffect(() => {
    const to = canvas.current;
    if (!to || !picture) return;
    to.width = picture.width;
    to.height = picture.height;
    to.getContext("2d")?.drawImage(picture, 0, 0);
  }, [picture]);
  return <canvas ref={canvas} class={picture ? "" : "waiting"} width={128} height={72} aria-hidden="true" />;
}

const oddBelow = (n: number): number => (n % 2 === 0 ? n - 1 : n);

function around(centre: number, count: number, frames: number): number[] {
  const n = Math.min(count, frames);
  const first = Math.min(Math.max(centre - (n - 1) / 2, 0), Math.max(frames - n, 0));
  return Array.from({ length: n }, (_, i) => Math.ceil(first) + i);
}
