// Puts a text on the clipboard, also where the browser lets only a selection be copied.
import type { ComponentChildren } from "preact";
import { say } from "../shell/say";

export function CopyButton({ text, children }: { text: string; children: ComponentChildren }) {
  const copy = async () => say((await copied(text)) ? "Copied." : "This browser does not let it be copied; select the text and copy it by hand.");
  return <button type="button" class="button" onClick={() => void copy()}>{children}</button>;
}

async function copied(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
