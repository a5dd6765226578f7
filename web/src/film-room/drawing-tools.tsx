// The tools of drawing, in reach while it is on.
import { useState } from "preact/hooks";
import type { ShapeKind } from "../api/types";
import { useOffice } from "./office";
import { useWatched } from "./watch";
import { BurnHint } from "../parts/burn-hint";
import { inks } from "../drawing/drawn";
import { sentence } from "../drawing/sketch";

const tools: readonly { kind: ShapeKind; name: string; key: string; path: string }[] = [
  { kind: "line", name: "Line", key: "L", path: "M4 20L20 4" },
  { kind: "angle", name: "Angle", key: "A", path: "M20 20H4L16 4M12 20a8 8 0 0 0-3.2-6.4" },
  { kind: "circle", name: "Circle", key: "C", path: "M12 4a8 8 0 1 0 .01 0" },
  { kind: "freehand", name: "Freehand", key: "F", path: "M3 16c4-12 7-12 8-4s4 6 10-6" },
  { kind: "note", name: "Note", key: "N", path: "M5 4h14v11h-8l-6 5z" },
];

export function DrawingTools() {
  const office = useOffice();
  const { board } = office;
  const { sketch } = board;
  const open = useWatched(office.changes, () => board.open);
  const state = useWatched(office.changes, () => sketch.state);
  if (!open) return null;
  return (
    <div class="drawing-tools" role="group" aria-label="Drawing">
      {state.typing ? <NoteField onWrite={(words) => sketch.write(words)} /> : (
        <div class="row">
          {tools.map((t) => (
            <button key={t.kind} type="button" class="button" aria-pressed={state.tool === t.kind} title={`${t.name} (${t.key})`} onClick={() => sketch.pick(t.kind)}>
              <svg viewBox="0 0 24 24" width="20" height="20" aria-hidden="true"><path d={t.path} fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round" stroke-linejoin="round" /></svg>
              {t.name} <kbd>{t.key}</kbd>
            </button>
          ))}
        </div>
      )}
      <div class="row">
        <div class="inks" role="group" aria-label="Ink">
          {inks.map((name, i) => <button key={name} type="button" class={`ink-${i}`} aria-pressed={state.colour === i} aria-label={`${name} ink`} title={`${name} (${i + 1})`} onClick={() => sketch.ink(i)} />)}
        </div>
        <button type="button" class="button" disabled={!sketch.canUndo} onClick={() => sketch.undo()}>Undo <kbd>U</kbd></button>
        <button type="button" class="button" disabled={!sketch.canRedo} onClick={() => sketch.redo()}>Redo</button>
        <button type="button" class="button" disabled={state.shapes.length === 0} onClick={() => sketch.rub()}>Rub out the last <kbd>⌫</kbd></button>
        <button type="button" class="button primary" onClick={() => board.toggle()}>Done <kbd>Esc</kbd></button>
      </div>
      {state.shapes.length > 0 && (
        <ul class="drawn-list" aria-label="On this frame">
          {state.shapes.map((shape, i) => <li key={i}>{sentence(shape)} <button type="button" class="button plain" aria-label={`Rub out: ${sentence(shape)}`} onClick={() => sketch.rub(i)}>rub out</button></li>)}
        </ul>
      )}
    </div>
  );
}

function NoteField({ onWrite }: { onWrite: (words: string) => void }) {
  const [words, setWords] = useState("");
  return (
    <form class="row note-field" onSubmit={(event) => { event.preventDefault(); onWrite(words); }}>
      <label class="field inline grow">
        <span>Note</span>
        <input class="input" ref={(element) => element?.focus()} maxLength={200} autocomplete="off" value={words} onInput={(e) => setWords(e.currentTarget.value)} onKeyDown={(e) => e.key === "Escape" && onWrite("")} />
      </label>
      <button class="button primary">Pin it</button>
      <BurnHint text={words} />
    </form>
  );
}
