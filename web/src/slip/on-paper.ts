// A printed page has nothing to touch: what belongs on paper is unfolded for it.
import { useEffect } from "preact/hooks";

/** Opens every details.on-paper while the page is printed, and folds what was folded again after. */
export function useUnfoldedOnPaper(): void {
  useEffect(() => {
    let opened: HTMLDetailsElement[] = [];
    const unfold = () => {
      opened.push(...document.querySelectorAll<HTMLDetailsElement>("details.on-paper:not([open])"));
      for (const part of opened) part.open = true;
    };
    const fold = () => {
      for (const part of opened) part.open = false;
      opened = [];
    };
    addEventListener("beforeprint", unfold);
    addEventListener("afterprint", fold);
    return () => {
      removeEventListener("beforeprint", unfold);
      removeEventListener("afterprint", fold);
    };
  }, []);
}
