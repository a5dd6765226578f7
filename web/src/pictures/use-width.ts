import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { RefObject } from "preact";

/** The width an element has, followed as it changes; a fixed one is taken as it is. */
export function useWidth<T extends HTMLElement>(fixed?: number): [RefObject<T | null>, number] {
  const ref = useRef<T>(null);
  const [width, setWidth] = useState(fixed ?? 640);
  useLayoutEffect(() => {
    const element = ref.current;
    if (fixed !== undefined || !element) return;
    const measure = () => setWidth(Math.max(260, Math.floor(element.clientWidth)));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [fixed]);
  return [ref, fixed ?? width];
}
