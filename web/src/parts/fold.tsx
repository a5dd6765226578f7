// A part of a screen that a phone folds away until it is touched.
import type { ComponentChildren } from "preact";
import { useNarrow } from "./use-narrow";

export function Fold({ title, id, class: of = "", children }: { title: string; id: string; class?: string; children: ComponentChildren }) {
  if (useNarrow()) return <details class={`depth ${of}`}><summary>{title}</summary>{children}</details>;
  return <section class={of} aria-labelledby={id}><h2 id={id}>{title}</h2>{children}</section>;
}
