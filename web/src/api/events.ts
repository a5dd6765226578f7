// What the server tells by itself: jobs that move on, bullpens that changed. One
// connection serves the whole page and comes back by itself.
import type { components } from "./schema";

interface Events {
  job: components["schemas"]["Job"];
  bullpen: components["schemas"]["BullpenEvent"];
  /** The connection is back: anything may have happened meanwhile. */
  again: undefined;
}

type Listener<K extends keyof Events> = (event: Events[K]) => void;

const listeners: { [K in keyof Events]: Set<Listener<K>> } = { job: new Set(), bullpen: new Set(), again: new Set() };
let source: EventSource | undefined;

/** Listens until the returned function is called. */
export function listen<K extends keyof Events>(kind: K, listener: Listener<K>): () => void {
  listeners[kind].add(listener as never);
  source ??= connect();
  return () => void listeners[kind].delete(listener as never);
}

function connect(): EventSource {
  const stream = new EventSource("/api/events");
  let opened = false;
  stream.addEventListener("open", () => {
    if (opened) tell("again", undefined);
    opened = true;
  });
  for (const kind of ["job", "bullpen"] as const) {
    stream.addEventListener(kind, (event) => tell(kind, JSON.parse((event as MessageEvent<string>).data) as never));
  }
  stream.addEventListener("error", () => {
    // A browser gives up for good when the answer was not a stream, for instance
    // while the server was starting.
    if (stream.readyState !== EventSource.CLOSED) return;
    setTimeout(() => (source = connect()), 2000);
  });
  return stream;
}

function tell<K extends keyof Events>(kind: K, event: Events[K]): void {
  for (const listener of [...listeners[kind]]) listener(event);
}
