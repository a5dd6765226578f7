// What is rarer, behind one button. It closes when something in it was pressed, with
// Escape, and when anything else is touched.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

/** The button of the menu in which the last thing was pressed. */
let pressedIn: HTMLElement | undefined;

/** That button, until something else is touched: what opens only after an answer finds no focus in a closed menu to give back. */
export const pressedMenu = (): HTMLElement | undefined => (pressedIn?.isConnected ? pressedIn : undefined);

export function Menu({ children }: { children: ComponentChildren }) {
  const menu = useRef<HTMLDetailsElement>(null);
  const close = () => {
    if (menu.current) menu.current.open = false;
  };
  useEffect(() => {
    const elsewhere = (event: Event) => {
      pressedIn = undefined;
      if (event.target instanceof Node && !menu.current?.contains(event.target)) close();
    };
    const key = () => void (pressedIn = undefined);
    addEventListener("pointerdown", elsewhere);
    addEventListener("keydown", key, true);
    return () => {
      removeEventListener("pointerdown", elsewhere);
      removeEventListener("keydown", key, true);
    };
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
      <div class="menu-list" onClick={(event) => {
        if (!(event.target instanceof Element) || !event.target.closest("button, a")) return;
        close();
        pressedIn = menu.current?.querySelector("summary") ?? undefined;
      }}>{children}</div>
    </details>
  );
}
