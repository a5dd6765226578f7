// The picture itself, as large as its place allows and never beyond its own shape. The
// wheel, two fingers or + and - look closer; dragging then moves it, and on the whole
// picture steps. A click plays and stops.
import type { RefObject } from "preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { DrawingLayer } from "./drawing-layer";
import { address } from "../api/client";
import { drawnAs, isWhole, seen, under, type Lens } from "./core/lens";
import { useOffice, type Office } from "./office";
import { pictureAt } from "./core/strip";
import { Loupe } from "./loupe";
import { PitcherBox } from "./pitcher-box";
import { SkeletonLayer, SkeletonSaid } from "./skeleton";
import { useWatched } from "./watch";

/** Pixels of dragging that make one frame. */
const pixelsPerFrame = 9;
/** Sideways wheel units that make one frame. */
const wheelPerFrame = 40;
/** Wheel units that look so many times closer: e; two fingers on a trackpad say less. */
const wheelPerZoom = 400;
const pinchPerZoom = 100;

export function Picture() {
  const office = useOffice();
  const place = useRef<HTMLDivElement>(null);
  const glass = useRef<HTMLDivElement>(null);
  const film = useWatched(office.changes, () => office.film);
  const lens = useWatched(office.changes, () => office.view.lens);
  const boxing = useWatched(office.changes, () => office.boxing);
  const hands = useHands(office, place);
  useWheel(office, place);

  useLayoutEffect(() => {
    const { video } = office.projector;
    glass.current?.prepend(video);
    video.setAttribute("aria-label", "The film. The frame on show is named below it.");
    return () => video.remove();
  }, [office]);

  // The pitcher's box is put right on the whole picture.
  useLayoutEffect(() => {
    if (boxing) office.view.look({ look: "whole" });
  }, [boxing]);

  const shape = film && film.height > 0 ? film.width / film.height : 16 / 9;
  return (
    <div class="picture-place" style={{ "--shape": shape }}>
      <div ref={place} class={`screen-of-film${isWhole(lens) ? "" : " closer"}`} {...hands}>
        <div ref={glass} class="glass" style={{ transform: drawnAs(lens) }}>
          <Meanwhile />
          <PitcherBox />
          <SkeletonLayer />
          <DrawingLayer />
        </div>
        <Dark />
        <Loupe />
        <SkeletonSaid />
        {!isWhole(lens) && <ZoomSaid lens={lens} />}
      </div>
    </div>
  );
}

function ZoomSaid({ lens }: { lens: Lens }) {
  const office = useOffice();
  return (
    <button type="button" class="button zoom-said" aria-label={`${lens.zoom.toFixed(1)} times closer. Back to the whole picture`} onPointerDown={(event) => event.stopPropagation()} onClick={() => office.view.look({ look: "whole" })}>
      {lens.zoom.toFixed(1)} × <span class="quiet">whole</span> <kbd>0</kbd>
    </button>
  );
}

/** Where a pointer is, in shares of the picture. */
function placeOf(office: Office, element: Element | null, event: { clientX: number; clientY: number }): { x: number; y: number } {
  const r = element?.getBoundingClientRect();
  if (!r || r.width === 0) return { x: 0.5, y: 0.5 };
  return under(office.view.lens, (event.clientX - r.left) / r.width, (event.clientY - r.top) / r.height);
}

/** The wheel looks closer where the pointer is; sideways, or with Shift, it steps. */
function useWheel(office: Office, place: RefObject<HTMLDivElement | null>): void {
  const rolled = useRef(0);
  useLayoutEffect(() => {
    const element = place.current;
    const wheel = (event: WheelEvent) => {
      event.preventDefault();
      const unit = event.deltaMode === 0 ? 1 : 33;
      const sideways = event.shiftKey ? event.deltaY || event.deltaX : Math.abs(event.deltaX) > Math.abs(event.deltaY) ? event.deltaX : 0;
      if (sideways === 0) {
        return office.view.zoom(Math.exp((-event.deltaY * unit) / (event.ctrlKey ? pinchPerZoom : wheelPerZoom)), placeOf(office, element, event));
      }
      rolled.current += sideways * unit;
      const frames = Math.trunc(rolled.current / wheelPerFrame);
      if (frames === 0) return;
      rolled.current -= frames * wheelPerFrame;
      office.room.act({ do: "step", frames });
    };
    element?.addEventListener("wheel", wheel, { passive: false });
    return () => element?.removeEventListener("wheel", wheel);
  }, [office]);
}

/** One pointer steps, or moves what is closer; two look closer. */
function useHands(office: Office, place: RefObject<HTMLDivElement | null>) {
  const { room, view } = office;
  const points = useRef(new Map<number, { x: number; y: number }>());
  const drag = useRef<{ x: number; frame: number; moved: boolean } | undefined>(undefined);
  const end = (event: PointerEvent, clicked: boolean) => {
    points.current.delete(event.pointerId);
    if (clicked && drag.current && !drag.current.moved && points.current.size === 0) room.act({ do: "play" });
    if (points.current.size === 0) drag.current = undefined;
  };
  return {
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0 || !office.film) return;
      (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
      points.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (points.current.size > 1 && drag.current) drag.current.moved = true;
      drag.current ??= { x: event.clientX, frame: room.state.frame, moved: false };
    },
    onPointerMove: (event: PointerEvent) => {
      if (event.pointerType === "mouse") view.point(placeOf(office, place.current, event));
      const before = points.current.get(event.pointerId);
      const from = drag.current;
      if (!before || !from) return;
      const now = { x: event.clientX, y: event.clientY };
      points.current.set(event.pointerId, now);
      const width = place.current?.clientWidth ?? 1, height = place.current?.clientHeight ?? 1;
      const part = seen(view.lens);
      if (points.current.size === 2) {
        const other = [...points.current].find(([id]) => id !== event.pointerId)![1];
        const apart = (p: typeof now) => Math.max(Math.hypot(p.x - other.x, p.y - other.y), 20);
        const middle = { clientX: (now.x + other.x) / 2, clientY: (now.y + other.y) / 2 };
        view.zoom(apart(now) / apart(before), placeOf(office, place.current, middle));
        view.pan(((before.x - now.x) / 2 / width) * part.width, ((before.y - now.y) / 2 / height) * part.height);
        return;
      }
      if (!isWhole(view.lens)) {
        if (Math.hypot(now.x - from.x, 0) > 3 || Math.abs(now.y - before.y) > 1) from.moved = true;
        view.pan(((before.x - now.x) / width) * part.width, ((before.y - now.y) / height) * part.height);
        return;
      }
      const frames = Math.round((event.clientX - from.x) / pixelsPerFrame);
      if (frames === 0 && !from.moved) return;
      from.moved = true;
      room.go(from.frame + frames);
    },
    onPointerUp: (event: PointerEvent) => end(event, true),
    onPointerCancel: (event: PointerEvent) => end(event, false),
    onPointerLeave: (event: PointerEvent) => event.pointerType === "mouse" && points.current.size === 0 && view.point(undefined),
  };
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
