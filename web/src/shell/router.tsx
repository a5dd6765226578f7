// Moves between screens without loading the page again.
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { routeOf, type Route } from "./routes";

const moved = "tenoff:moved";

export function navigate(path: string, replace = false): void {
  if (path === location.pathname + location.search) return;
  if (replace) history.replaceState(null, "", path);
  else history.pushState(null, "", path);
  dispatchEvent(new Event(moved));
}

export function useRoute(): Route {
  const [path, setPath] = useState(location.pathname);
  useEffect(() => {
    const look = () => setPath(location.pathname);
    addEventListener("popstate", look);
    addEventListener(moved, look);
    return () => {
      removeEventListener("popstate", look);
      removeEventListener(moved, look);
    };
  }, []);
  return routeOf(path);
}

interface LinkProps {
  to: string;
  class?: string;
  "aria-current"?: "page";
  "aria-label"?: string;
  children: ComponentChildren;
}

/** A link to a screen; with a modifier key it is an ordinary link. */
export function Link({ to, children, ...rest }: LinkProps) {
  const go = (event: MouseEvent) => {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    event.preventDefault();
    navigate(to);
  };
  return <a href={to} onClick={go} {...rest}>{children}</a>;
}
