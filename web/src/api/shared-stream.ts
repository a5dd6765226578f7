// The one connection to the server's events, held while any tab listens, and what comes
// passed on to all of them.
import type { Stream, Told } from "./stream";

/** What a tab says: it listens, it does not any more, somebody signed in. */
export type Said = "join" | "leave" | "afresh";

/** A tab's end of the line, as much of it as matters here. */
export interface Tab {
  postMessage(told: Told): void;
}

export class SharedStream {
  private readonly tabs = new Set<Tab>();
  private readonly stream: Stream;

  constructor(make: (tell: (told: Told) => void) => Stream) {
    this.stream = make((told) => {
      for (const tab of this.tabs) tab.postMessage(told);
    });
  }

  hear(tab: Tab, said: Said): void {
    switch (said) {
      case "join":
        if (this.tabs.has(tab)) return;
        this.tabs.add(tab);
        for (const told of this.stream.now()) tab.postMessage(told);
        return this.stream.open();
      case "leave":
        this.tabs.delete(tab);
        if (this.tabs.size === 0) this.stream.close();
        return;
      case "afresh":
        this.stream.close();
        return this.stream.open();
    }
  }
}
