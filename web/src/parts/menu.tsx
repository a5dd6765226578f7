// What is rarer, behind one button. It closes when something in it was pressed, with
// Escape, and when anything else is touched.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

export function Menu({ children }: { children: ComponentChildren }) {
  const menu = useRef<HTMLDetailsElement>(null);
  const close = () => {
    if (menu.current) menu.current.open = false;
  };
  useEffect(() => {
    const elsewhere = (event: Event) => event.target instanceof Node && !menu.current?.contains(event.target) && close();
    addEventListener("pointerdown", elsewhere);
    return () => removeEventListener("pointerdown", elsewhere);
  }, []);
  return (
    <details
      class="menu"
      ref={menu}
      onKeyDown={(event) => {
        if (event.key !== "Escape" || !menu.current?.open) return;
        event.stopPropagation();
        close();
        menu.current.querySelector("summary")?.focus();
      }}
    >
      <summary class="button">More</summary>
      <div class="menu-list" onClick={(event) => event.target instanceof Element && event.target.closest("button, a") && close()}>{children}</div>
    </details>
  );
}
