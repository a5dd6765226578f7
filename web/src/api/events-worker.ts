// The worker that all tabs of a browser share; see events.ts.
import { SharedStream, type Said } from "./shared-stream";
import { Stream } from "./stream";

const shared = new SharedStream((tell) => new Stream(tell));

/** A SharedWorker's scope, which the DOM's types leave out. */
const scope = globalThis as unknown as { onconnect: (event: MessageEvent) => void };

scope.onconnect = ({ ports: [port] }) => {
  if (port) port.onmessage = (event: MessageEvent<Said>) => shared.hear(port, event.data);
};
