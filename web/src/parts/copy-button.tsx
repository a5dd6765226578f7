// Puts a text on the clipboard, also where the browser lets only a selection be copied.
import type { ComponentChildren } from "preact";
import { say } from "../shell/say";

export function CopyButton({ text, children }: { text: string; children: ComponentChildren }) {
  const copy = async (button: HTMLElement) => say((await copied(text, button)) ? "Copied." : "This browser does not let it be copied; select the text and copy it by hand.");
  return <button type="button" class="button" onClick={(e) => void copy(e.currentTarget)}>{children}</button>;
}

/** Puts a text on the clipboard; beside is an element near which a field may be made for it. */
export async function copied(text: string, beside: HTMLElement): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return copiedFromField(text, beside);
  }
}

/** Without https a browser hides its clipboard, but copies what is selected. The field stands beside the button: a window over the page keeps the focus inside. */
function copiedFromField(text: string, beside: HTMLElement): boolean {
  const field = document.createElement("textarea");
  field.value = text;
  field.className = "sr-only";
  field.readOnly = true;
  beside.after(field);
  field.select();
  try {
    return document.execCommand("copy");
  } catch {
    return false;
  } finally {
    field.remove();
    beside.focus({ preventScroll: true });
  }
}
