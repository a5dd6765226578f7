// Keys by the names that are printed on them.

const drawn: Record<string, string> = {
  ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓",
  PageUp: "Page up", PageDown: "Page down", Backspace: "⌫", Escape: "Esc",
};

/** A key's name as people know it: the parts of "Shift+ArrowLeft" are "Shift" and "←". */
export function keyCaps(name: string): string[] {
  if (name === "+") return ["+"];
  return name.split("+").map((part) => drawn[part] ?? (part.length === 1 ? part.toUpperCase() : part));
}
