// Whether a screen is looked at on a phone. Paper is never narrow.
import { useEffect, useState } from "preact/hooks";

export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(false);
  useEffect(() => {
    const screen = matchMedia("screen and (max-width: 40rem)");
    const look = () => setNarrow(screen.matches);
    const paper = () => setNarrow(false);
    look();
    screen.addEventListener("change", look);
    addEventListener("beforeprint", paper);
    addEventListener("afterprint", look);
    return () => {
      screen.removeEventListener("change", look);
      removeEventListener("beforeprint", paper);
      removeEventListener("afterprint", look);
    };
  }, []);
  return narrow;
}
