// A window over the page that keeps the keyboard inside until it is closed.
import type { ComponentChildren } from "preact";
import { pressedMenu } from "./menu";
import { useId, useLayoutEffect, useRef } from "preact/hooks";

interface Props {
  title: string;
  wide?: boolean;
  onClose: () => void;
  children: ComponentChildren;
}

export function Dialog({ title, wide, onClose, children }: Props) {
  const box = useRef<HTMLDialogElement>(null);
  const name = useId();
  useLayoutEffect(() => {
    // Some browsers give a clicked button no focus. Whoever reads on from the page's main
    // part reads on from where she was; the page stays where it was scrolled to.
    const asked = document.activeElement as HTMLElement | null;
    const opener = asked === document.body ? (pressedMenu() ?? document.getElementById("main")) : asked;
    const dialog = box.current;
    dialog?.showModal();
    const given = document.activeElement; // by the browser: what closes it
    const first = () => {
      const field = dialog?.querySelector<HTMLElement>("[data-first]");
      if (field && document.activeElement === given) field.focus();
      if (field) late.disconnect();
    };
    // Its first field may have to wait for what it offers.
    const late = new MutationObserver(first);
    if (dialog) late.observe(dialog, { childList: true, subtree: true });
    first();
    return () => {
      late.disconnect();
      dialog?.close();
      // What opened it from a menu is out of sight with the menu: its button is read on from.
      const back = opener?.checkVisibility?.() === false ? opener.closest("details")?.querySelector("summary") : opener;
      if (back?.isConnected) back.focus({ preventScroll: true });
    };
  }, []);
  return (
    <dialog
      ref={box}
      class={`dialog${wide ? " wide" : ""}`}
      aria-labelledby={name}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onKeyDown={(event) => event.stopPropagation()}
      onClick={(event) => event.target === box.current && onClose()}
    >
      <header>
        <h2 id={name}>{title}</h2>
        <button type="button" class="button plain square" aria-label="Close" onClick={onClose}>
          <svg width="22" height="22" viewBox="0 0 22 22" aria-hidden="true"><path d="M4 4l14 14M18 4L4 18" stroke="currentColor" stroke-width="3" /></svg>
        </button>
      </header>
      <div class="inside">{children}</div>
    </dialog>
  );
}
