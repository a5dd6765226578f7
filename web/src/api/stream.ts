// The one connection on which the server tells what changes. It comes back by itself,
// waits longer each time nobody answers, and ends when the session does. Every open
// connection counts against the six that a browser grants one address, so there is one
// for all tabs where the browser can share it: see events.ts.
import type { components } from "./schema";

type Job = components["schemas"]["Job"];

/** What comes over the connection, or happens to it. */
export type Told =
  | { kind: "job" | "bullpen"; text: string }
  /** The connection is back: anything may have happened meanwhile. */
  | { kind: "again" }
  /** The session is over: the server tells nothing any more. */
  | { kind: "out" };

/** The browser, as much of it as matters here. */
export interface World {
  connect(address: string): EventSource;
  /** Whether the session still holds; fails when nobody answers. */
  signedIn(): Promise<boolean>;
  after(ms: number, call: () => void): () => void;
}

/** Pauses before trying again when nobody answers, in ms; the last one is kept. */
export const pauses: readonly number[] = [2000, 4000, 8000, 15000, 30000];

export class Stream {
  private source: EventSource | undefined;
  private stopWaiting: (() => void) | undefined;
  private opened = false;
  private tries = 0;
  /** Which opening this is: an answer to an earlier one counts no more. */
  private run = 0;
  private readonly unfinished = new Map<string, string>();

  constructor(
    private readonly tell: (told: Told) => void,
    private readonly world: World = browser,
  ) {}

  /** Opens the connection unless it is open or about to be. */
  open(): void {
    if (this.source || this.stopWaiting) return;
    this.tries = 0;
    this.connect();
  }

  close(): void {
    this.run++;
    this.source?.close();
    this.source = undefined;
    this.stopWaiting?.();
    this.stopWaiting = undefined;
  }

  /** What the server told at once when the connection began, as it is now: for a listener who comes later. */
  now(): Told[] {
    return [...this.unfinished.values()].map((text) => ({ kind: "job", text }));
  }

  private connect(): void {
    const run = ++this.run;
    this.stopWaiting = undefined;
    const source = (this.source = this.world.connect("/api/events"));
    source.addEventListener("open", () => {
      // Whoever has waited for it may have read something old.
      const late = this.opened || this.tries > 0;
      this.opened = true;
      this.tries = 0;
      this.unfinished.clear();
      if (late) this.tell({ kind: "again" });
    });
    for (const kind of ["job", "bullpen"] as const) {
      source.addEventListener(kind, (event) => {
        const { data: text } = event as MessageEvent<string>;
        if (kind === "job") this.note(text);
        this.tell({ kind, text });
      });
    }
    source.addEventListener("error", () => {
      // A browser tries again by itself, but gives up for good when the answer was not
      // a stream: the session is over, or the server is starting.
      if (source.readyState !== EventSource.CLOSED || run !== this.run) return;
      this.world.signedIn().then(
        (still) => run === this.run && (still ? this.wait() : this.end()),
        () => run === this.run && this.wait(),
      );
    });
  }

  private wait(): void {
    this.source = undefined;
    const pause = pauses[Math.min(this.tries++, pauses.length - 1)]!;
    this.stopWaiting = this.world.after(pause, () => this.connect());
  }

  private end(): void {
    this.close();
    this.unfinished.clear();
    this.tell({ kind: "out" });
  }

  private note(text: string): void {
    const { id, state } = JSON.parse(text) as Job;
    if (state === "queued" || state === "running") this.unfinished.set(id, text);
    else this.unfinished.delete(id);
  }
}

const browser: World = {
  connect: (address) => new EventSource(address),
  signedIn: async () => {
    const answer = await fetch("/api/session", { headers: { Accept: "application/json" } });
    if (!answer.ok) throw new Error("the session is not known just now");
    return ((await answer.json()) as components["schemas"]["Session"]).signedIn;
  },
  after: (ms, call) => {
    const timer = setTimeout(call, ms);
    return () => clearTimeout(timer);
  },
};
