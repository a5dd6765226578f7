// The films on their way in: a queue that sends one after the other, with
// progress, refusals in one sentence, cancel and retry. It knows no browser: how a
// file is sent is handed in.
import type { Film, UploadResult } from "../api/types";

/** A file, as much of it as matters here. */
export interface Parcel {
  name: string;
  size: number;
}

export interface Sending {
  answer: Promise<UploadResult>;
  cancel(): void;
}

/** Sends a file to a bullpen and reports bytes sent. Failures carry status and message. */
export type Send<F extends Parcel> = (bullpenId: string, file: F, sent: (bytes: number) => void) => Sending;

export type UploadState = "waiting" | "sending" | "received" | "refused" | "failed";

export interface Upload<F extends Parcel = Parcel> {
  readonly id: number;
  readonly bullpenId: string;
  readonly file: F;
  state: UploadState;
  sent: number;
  /** One sentence: why it was refused, what failed, or that it was there already. */
  note: string;
  film?: Film;
}

export class Uploads<F extends Parcel> {
  private list: Upload<F>[] = [];
  private current: { upload: Upload<F>; sending: Sending } | undefined;
  private count = 0;

  constructor(
    private readonly send: Send<F>,
    private readonly changed: () => void,
    private readonly received: (upload: Upload<F>) => void = () => {},
  ) {}

  get all(): readonly Upload<F>[] {
    return this.list;
  }

  add(bullpenId: string, files: readonly F[]): void {
    for (const file of files) {
      this.list.push({ id: ++this.count, bullpenId, file, state: "waiting", sent: 0, note: "" });
    }
    this.next();
  }

  /** Stops an upload, or takes a finished one off the list. */
  remove(id: number): void {
    this.list = this.list.filter((u) => u.id !== id);
    if (this.current?.upload.id === id) {
      this.current.sending.cancel();
      this.current = undefined;
    }
    this.next();
  }

  retry(id: number): void {
    const upload = this.list.find((u) => u.id === id);
    if (!upload || (upload.state !== "failed" && upload.state !== "refused")) return;
    upload.state = "waiting";
    upload.sent = 0;
    upload.note = "";
    this.next();
  }

  /** True while leaving the page would stop an upload. */
  get busy(): boolean {
    return this.list.some((u) => u.state === "waiting" || u.state === "sending");
  }

  private next(): void {
    const upload = this.current ? undefined : this.list.find((u) => u.state === "waiting");
    if (upload) void this.run(upload);
    this.changed();
  }

  private async run(upload: Upload<F>): Promise<void> {
    upload.state = "sending";
    const sending = this.send(upload.bullpenId, upload.file, (bytes) => {
      upload.sent = bytes;
      this.changed();
    });
    this.current = { upload, sending };
    try {
      const { film, alreadyThere } = await sending.answer;
      upload.state = "received";
      upload.sent = upload.file.size;
      upload.film = film;
      upload.note = alreadyThere ? "This bullpen has this very film already." : "";
      if (this.list.includes(upload)) this.received(upload);
    } catch (failure) {
      const { status, message } = failure as { status?: number; message?: string };
      // 4xx: the file is at fault, and sending it again would not help.
      upload.state = status !== undefined && status >= 400 && status < 500 ? "refused" : "failed";
      upload.note = message ?? "The film did not arrive.";
    }
    if (this.current?.upload === upload) this.current = undefined;
    this.next();
  }
}
