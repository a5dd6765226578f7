// The frames around the one on show, to pick the exact one from.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import { useWidth } from "../pictures/use-width";
import { FramePictures, type Part } from "../player/frame-pictures";
import { instants, type Instant } from "./core/change";
import { placeOf } from "./core/found";
import { isWhole, seen } from "./core/lens";
import { useOffice } from "./office";
import { playable } from "./projector";
import { useWatched } from "./watch";

const most = 11;
/** Of a picture, in the page's pixels: in a high window, and in a low one. */
const heights = { high: 132, low: 96 };
const highWindow = 840;
/** How long the picture rests before the frames around it are fetched, in ms. */
const rest = 90;
/** So many are to fit, as long as they are no lower than this. */
const fewest = 5;
const lowest = 72;
/** Between two pictures, with their edges. */
const between = 9;
/** The picture is looked at so long before the strip shows the same part, in ms. */
const settles = 250;

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
  const pictures = useMemo(() => new FramePictures(heights.high, () => arrived((n) => n + 1)), []);
  const part = usePart();
  const roomFor = innerHeight >= highWindow ? heights.high : heights.low;
  const size = useWatched(changes, () => ({ width: office.film?.width ?? 16, height: office.film?.height ?? 9 }));
  const shape = (part.width * size.width) / (part.height * size.height);
  // Where five would not fit they are made smaller, down to where nothing is seen in them.
  const height = Math.max(Math.min(roomFor, Math.floor((width / fewest - between) / shape)), lowest);
  pictures.crop(part, Math.round(height * Math.min(devicePixelRatio || 1, 2)));
  const still = useRef(0);
  if (centre >= 0) still.current = centre;

  // Of a film that is being read another part is taken only once pictures of it are asked for.
  const reach = useWatched(changes, () => office.clock?.reach ?? 0);
  const loaded = useRef(0);
  useEffect(() => {
    if (film && clock) pictures.open(playable(film, clock), clock);
    loaded.current = clock?.reach ?? 0;
    return () => pictures.close();
  }, [film, clock !== undefined]);
  const further = clock?.growing && reach > loaded.current && still.current + most >= loaded.current ? reach : loaded.current;
  // Once the film was read, or further than before, another file is there; the pictures stay.
  useEffect(() => {
    if (!film || !clock || clock.original) return;
    loaded.current = clock.reach;
    pictures.change(playable(film, clock), clock);
  }, [clock?.original, clock?.growing, further]);

  const count = Math.max(3, Math.min(most, oddBelow(Math.floor((width + between) / (height * shape + between)))));
  const frames = around(still.current, count, reach);

  // The frame on show is taken as it is painted; the ones around it are fetched once the
  // picture rests, and only until the next key: two films decoded at once hold up a step.
  const shown = useWatched(changes, () => (room.state.playing ? -1 : room.state.frame));
  useLayoutEffect(() => {
    // Not before the page has said which frame it is: to copy a picture takes a while.
    const timer = setTimeout(() => {
      if (shown >= 0 && shown === centre && office.projector.shows(film, shown)) pictures.take(shown, office.projector.video);
    });
    return () => clearTimeout(timer);
  }, [shown, centre, film, part]);
  useEffect(() => {
    if (centre < 0 || !clock) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const fetch = () => {
      const wide = around(centre, count + 4, reach);
      pictures.want([...wide].sort((a, b) => Math.abs(a - centre) - Math.abs(b - centre)));
    };
    const look = () => {
      const { playing, frame, wanted } = room.state;
      if (!playing && frame === wanted) return void (timer ??= setTimeout(fetch, rest));
      pictures.want([]);
      clearTimeout(timer);
      timer = undefined;
    };
    look();
    const unwatch = office.onShow.watch(look);
    return () => {
      unwatch();
      clearTimeout(timer);
    };
  }, [centre, count, clock, reach, film, part]);

  const marks = useWatched(changes, () => {
    const marks: Record<number, { name: Instant; kind: "marked" | "found" | "unsure" }> = {};
    for (const { rep } of office.ledger.rows()) {
      if (rep.filmId !== film) continue;
      for (const name of instants) {
        const frame = placeOf(rep, name);
        if (frame === undefined || Math.abs(frame - still.current) > most) continue;
        const kind = rep[name] !== undefined ? "marked" : rep.found?.[name].within ? "found" : "unsure";
        if (kind === "marked" || marks[frame]?.kind !== "marked") marks[frame] = { name, kind };
      }
    }
    return marks;
  });

  const release = useWatched(changes, () => {
    const rep = room.chosen()?.rep;
    return rep?.filmId === film ? rep?.release : undefined;
  });
  const near = (frame: number) => (["", String(frame)].includes(nearText(frame, release)) ? "" : `${nearText(frame, release)}: `);
  return (
    <div ref={box} class={`frame-strip${centre < 0 ? " resting" : ""}`} style={{ "--shape": shape, "--high": `${height}px` }} role="group" aria-label="The frames around this one">
      {frames.map((frame) => (
        <button
          key={frame}
          type="button"
          tabIndex={-1}
          class={frame === still.current ? "here" : ""}
          aria-label={`${near(frame)}Frame ${frame}${marks[frame] ? `, ${signs[marks[frame].kind]}${marks[frame].name}` : ""}`}
          aria-current={frame === still.current}
          onClick={() => room.go(frame)}
        >
          <Thumb picture={pictures.picture(frame)} />
          <span class={marks[frame]?.kind ?? ""}>{marks[frame]?.name ?? nearText(frame, release)}{marks[frame]?.kind === "unsure" && "?"}</span>
        </button>
      ))}
    </div>
  );
}

/** The part of the frames that is shown: what the lens is on, or her box, or all. */
function usePart(): Part {
  const office = useOffice();
  const lens = useWatched(office.changes, () => office.view.lens);
  const box = useWatched(office.changes, () => office.film?.box ?? office.film?.foundBox);
  const [still, setStill] = useState(lens);
  useEffect(() => {
    const timer = setTimeout(() => setStill(lens), settles);
    return () => clearTimeout(timer);
  }, [lens]);
  return useMemo(() => (isWhole(still) ? (box ?? seen(still)) : seen(still)), [still, JSON.stringify(box)]);
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

/** So many frames before or after her release, nothing at it; far from one, which frame it is. */
function nearText(frame: number, release: number | undefined): string {
  const by = frame - (release ?? Infinity);
  if (by === 0) return "";
  return Math.abs(by) > 99 ? String(frame) : by < 0 ? `−${-by}` : `+${by}`;
}

const oddBelow = (n: number): number => (n % 2 === 0 ? n - 1 : n);

function around(centre: number, count: number, frames: number): number[] {
  const n = Math.min(count, frames);
  const first = Math.min(Math.max(centre - (n - 1) / 2, 0), Math.max(frames - n, 0));
  return Array.from({ length: n }, (_, i) => Math.ceil(first) + i);
}
