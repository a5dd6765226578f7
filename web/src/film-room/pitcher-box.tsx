// The pitcher's box over the picture: where reps are looked for. It can be dragged
// and stretched with a mouse, a finger or the arrow keys; what is let go is saved.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Film } from "../api/types";
import { useWidth } from "../pictures/use-width";
import { arrow, corners, fitted, middle, moved, stretched, type Box, type Corner } from "./core/box";
import { useOffice } from "./office";
import { useWatched } from "./watch";

/** One press of an arrow key, as a share of the picture; with Shift a finer one. */
const step = 0.02;
const fine = 0.005;
/** A key's change is saved after so long without another. */
const rest = 700;

export function PitcherBox() {
  const office = useOffice();
  const film = useWatched(office.changes, () => office.film);
  const open = useWatched(office.changes, () => office.boxing);
  return film && open ? <OpenBox key={film.id} film={film} /> : null;
}

function OpenBox({ film }: { film: Film }) {
  const office = useOffice();
  const [place, width] = useWidth<HTMLDivElement>();
  const stored = film.box ?? film.foundBox ?? middle;
  const [box, setBox] = useState<Box>(stored);
  const now = useRef(box);
  const drag = useRef<{ x: number; y: number; from: Box; part: Corner | "all" } | undefined>(undefined);
  const saving = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const whole = useRef<HTMLDivElement>(null);

  useEffect(() => set(stored), [JSON.stringify(stored)]);
  useEffect(() => {
    whole.current?.focus({ preventScroll: true });
    return () => flush();
  }, []);

  function set(next: Box) {
    now.current = next;
    setBox(next);
  }
  function save() {
    clearTimeout(saving.current);
    saving.current = undefined;
    if (JSON.stringify(now.current) !== JSON.stringify(stored)) office.editFilm(film, { box: now.current });
  }
  function flush() {
    if (saving.current !== undefined) save();
  }

  const high = place.current?.clientHeight ?? 0;
  const picture = fitted(width, high, film.width > 0 && film.height > 0 ? film.width / film.height : 16 / 9);
  const change = (from: Box, part: Corner | "all", dx: number, dy: number) => set(part === "all" ? moved(from, dx, dy) : stretched(from, part, dx, dy));

  const grips = (part: Corner | "all") => ({
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return;
      event.stopPropagation();
      (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
      drag.current = { x: event.clientX, y: event.clientY, from: now.current, part };
    },
    onPointerMove: (event: PointerEvent) => {
      const d = drag.current;
      if (!d || d.part !== part) return;
      event.stopPropagation();
      change(d.from, part, (event.clientX - d.x) / picture.width, (event.clientY - d.y) / picture.height);
    },
    onPointerUp: (event: PointerEvent) => {
      if (!drag.current || drag.current.part !== part) return;
      event.stopPropagation();
      drag.current = undefined;
      save();
    },
    onPointerCancel: () => {
      if (drag.current) set(drag.current.from);
      drag.current = undefined;
    },
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key === "Escape" || event.key === "Enter") {
        event.preventDefault();
        event.stopPropagation();
        flush();
        return office.setBoxing(false);
      }
      const by = arrow(event.key);
      if (!by || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      event.stopPropagation();
      const size = event.shiftKey ? fine : step;
      change(now.current, part, by.dx * size, by.dy * size);
      clearTimeout(saving.current);
      saving.current = setTimeout(save, rest);
    },
    onBlur: flush,
  });
  const said = (b: Box) => `from ${percent(b.x)} to ${percent(b.x + b.width)} across, ${percent(b.y)} to ${percent(b.y + b.height)} down`;
  return (
    <div class="box-place" ref={place}>
      <div
        ref={whole}
        class="pitcher-box"
        role="application"
        tabIndex={0}
        aria-label={`The pitcher’s box, ${said(box)}. Arrow keys move it, Tab goes to its corners, Enter is done.`}
        style={{
          left: `${picture.left + box.x * picture.width}px`, top: `${picture.top + box.y * picture.height}px`,
          width: `${box.width * picture.width}px`, height: `${box.height * picture.height}px`,
        }}
        {...grips("all")}
      >
        {corners.map((corner) => (
          <span key={corner} class={`grip ${corner.replace(" ", "-")}`} role="application" tabIndex={0} aria-label={`${corner} corner. Arrow keys move it.`} {...grips(corner)} />
        ))}
      </div>
    </div>
  );
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

/** Opens and closes the box; beside it, the way back to what was found. */
export function BoxSwitch() {
  const office = useOffice();
  const film = useWatched(office.changes, () => office.film);
  const open = useWatched(office.changes, () => office.boxing);
  if (!film) return null;
  return (
    <div class="row box-switch">
      <button
        type="button" class="button plain" aria-pressed={open}
        title="Reps are looked for where she is in the picture. If tenoff took somebody else for her, drag the box."
        onClick={() => office.setBoxing(!open)}
      >
        {open ? "Box done" : film.box ? "Pitcher’s box (yours)" : film.foundBox ? "Pitcher’s box" : "Pitcher’s box (not found)"}
      </button>
      {open && film.box && <button type="button" class="button" onClick={() => office.editFilm(film, { box: null })}>{film.foundBox ? "As found" : "None"}</button>}
    </div>
  );
}
