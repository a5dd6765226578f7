// A button that goes on while it is held, like a key.
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

const wait = 400;
const every = 70;

interface Props {
  onPress: () => void;
  label: string;
  title?: string;
  children: ComponentChildren;
}

export function HoldButton({ onPress, label, title, children }: Props) {
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const held = useRef(false);
  const press = useRef(onPress);
  press.current = onPress;
  const stop = () => clearTimeout(timer.current);
  useEffect(() => stop, []);
  const repeat = () => {
    held.current = true;
    press.current();
    timer.current = setTimeout(repeat, every);
  };
  return (
    <button
      type="button"
      class="button"
      aria-label={label}
      title={title ?? label}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        held.current = false;
        timer.current = setTimeout(repeat, wait);
      }}
      onPointerUp={stop}
      onPointerLeave={stop}
      onPointerCancel={stop}
      onContextMenu={(event) => event.preventDefault()}
      onClick={() => {
        if (!held.current) press.current();
        held.current = false;
      }}
    >
      {children}
    </button>
  );
}
