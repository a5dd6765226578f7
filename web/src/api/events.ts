// What the server tells by itself: jobs that move on, bullpens that changed. All tabs
// of a browser share one connection through a worker. Where there is none, as on some
// phones, a tab listens while it is seen, and is seen alone. A page that is left, which
// the browser may keep for "back", listens to nothing.
import { signedOut } from "./client";
import type { components } from "./schema";
import type { Said } from "./shared-stream";
import { Stream, type Told } from "./stream";

interface Events {
  job: components["schemas"]["Job"];
  bullpen: components["schemas"]["BullpenEvent"];
  /** The connection is back: anything may have happened meanwhile. */
  again: undefined;
}

type Listener<K extends keyof Events> = (event: Events[K]) => void;

/** The way to the server's events, in this browser. */
interface Line {
  say(said: Said): void;
}

/** Tells apart the workers of different builds that do not understand each other. */
const protocol = "tenoff events 1";

const listeners: { [K in keyof Events]: Set<Listener<K>> } = { job: new Set(), bullpen: new Set(), again: new Set() };
let line: Line | undefined;

/** Listens until the returned function is called. */
export function listen<K extends keyof Events>(kind: K, listener: Listener<K>): () => void {
  listeners[kind].add(listener as never);
  begin();
  return () => void listeners[kind].delete(listener as never);
}

/** Somebody has signed in: what is told now is told to her. */
export function listenAfresh(): void {
  begin().say("afresh");
}

function begin(): Line {
  if (line) return line;
  line = makeLine();
  line.say("join");
  addEventListener("pagehide", () => line?.say("leave"));
  addEventListener("pageshow", ({ persisted }) => {
    if (!persisted) return;
    // The worker may have ended while this page was kept.
    line = makeLine();
    line.say("join");
    tell("again", undefined);
  });
  return line;
}

function makeLine(): Line {
  return sharedLine() ?? ownLine();
}

function sharedLine(): Line | undefined {
  try {
    const worker = new SharedWorker("/assets/events.js", { name: protocol });
    worker.port.onmessage = (event: MessageEvent<Told>) => hear(event.data);
    const shared: Line = { say: (said) => worker.port.postMessage(said) };
    worker.onerror = () => {
      if (line !== shared) return;
      line = ownLine();
      line.say("join");
    };
    return shared;
  } catch {
    return undefined; // this browser has none, or lets this page have none
  }
}

function ownLine(): Line {
  const stream = new Stream(hear);
  let joined = false;
  const look = () => (joined && document.visibilityState === "visible" ? stream.open() : stream.close());
  document.addEventListener("visibilitychange", look);
  return {
    say: (said) => {
      joined = said !== "leave";
      if (said !== "join") stream.close();
      look();
      if (said === "leave") document.removeEventListener("visibilitychange", look);
    },
  };
}

function hear(told: Told): void {
  switch (told.kind) {
    case "again":
      return tell("again", undefined);
    case "out":
      return void dispatchEvent(new Event(signedOut));
    default:
      return tell(told.kind, JSON.parse(told.text) as never);
  }
}

function tell<K extends keyof Events>(kind: K, event: Events[K]): void {
  for (const listener of [...listeners[kind]]) listener(event);
}
