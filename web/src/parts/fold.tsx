// A part of a screen that a phone folds away until it is touched.
import type { ComponentChildren } from "preact";
import { useNarrow } from "./use-narrow";

export function Fold({ title, id, children }: { title: string; id: string; children: ComponentChildren }) {
  if (useNarrow()) return <details class="depth"><summary>{title}</summary>{children}</details>;
  return <section aria-labelledby={id}><h2 id={id}>{title}</h2>{children}</section>;
}
