// Lets a component follow one part of something that changes, and paint only when
// that part did.
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { same } from "./core/change";

export class Changes {
  private readonly watchers = new Set<() => void>();

  readonly tell = (): void => {
    for (const watcher of [...this.watchers]) watcher();
  };

  watch(watcher: () => void): () => void {
    this.watchers.add(watcher);
    return () => void this.watchers.delete(watcher);
  }
}

/** The picked part, followed. Parts are compared by value when they are plain. */
export function useWatched<T>(changes: Changes, pick: () => T): T {
  const [, paint] = useState(0);
  const now = pick();
  const shown = useRef({ pick, now });
  shown.current = { pick, now };
  useLayoutEffect(() => {
    const look = () => {
      const fresh = shown.current.pick();
      if (!alike(fresh, shown.current.now)) paint((n) => n + 1);
    };
    look();
    return changes.watch(look);
  }, [changes]);
  return now;
}

function alike(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (Array.isArray(a) && Array.isArray(b)) return a.length === b.length && a.every((item, i) => item === b[i]);
  return plain(a) && plain(b) && same(a, b);
}

function plain(value: unknown): boolean {
  return typeof value === "object" && value !== null && Object.getPrototypeOf(value) === Object.prototype;
}
