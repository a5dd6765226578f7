// The student's films on their way: one after the other, each of them paused,
// interrupted and gone on with from where the server has it. It knows no browser
// and no protocol: how a film is carried is handed in.

/** A file, as much of it as matters here. */
export interface Parcel {
  name: string;
  size: number;
}

/** Why a film did not arrive. Status 0: no answer at all. */
export interface Failure {
  status: number;
  sentence: string;
}

export interface Carried {
  /** The server knows the film now, under this address. */
  begun(address: string): void;
  sent(bytes: number): void;
  arrived(): void;
  failed(failure: Failure): void;
}

/** One film being carried. After stop() it reports nothing more. */
export interface Carrier {
  stop(): void;
}

/** Carries a file, from the beginning or on from an upload the server has. */
export type Carry<F extends Parcel> = (file: F, from: string | undefined, on: Carried) => Carrier;

export type SendingState = "waiting" | "sending" | "paused" | "interrupted" | "refused";

export interface Sending<F extends Parcel = Parcel> {
  readonly id: number;
  readonly file: F;
  state: SendingState;
  /** Bytes that have left. */
  sent: number;
  /** Where the server has it; missing before the first answer. */
  address?: string;
  /** Why it was refused, in one sentence of the server's; empty otherwise. */
  note: string;
  /** It stands still for want of a signal, not because the server is busy. */
  lost: boolean;
}

export interface World<F extends Parcel> {
  carry: Carry<F>;
  changed(): void;
  /** A film is wholly there; it is off the list. */
  arrived(file: F): void;
  /** Calls back after a pause in milliseconds, unless the returned function is called. */
  after(ms: number, call: () => void): () => void;
}

/** Pauses before trying again by itself, in ms; the last one is kept. */
export const pauses: readonly number[] = [1000, 2000, 4000, 8000, 15000];

export class Sendings<F extends Parcel> {
  private list: Sending<F>[] = [];
  private carrier: Carrier | undefined;
  private carrying: Sending<F> | undefined;
  private count = 0;
  private tries = 0;
  private stopWaiting = () => {};

  constructor(private readonly world: World<F>) {}

  get all(): readonly Sending<F>[] {
    return this.list;
  }

  /** Something would be lost or slowed if the page were closed now. */
  get busy(): boolean {
    return this.list.some((s) => s.state === "sending" || s.state === "waiting" || s.state === "interrupted");
  }

  /** Puts a film at the end, to go on from an upload that the server has, if given. */
  add(file: F, from?: string): void {
    const same = this.list.find((s) => s.file.name === file.name && s.file.size === file.size);
    if (same && same.state !== "refused") return this.resume(same.id);
    if (same) this.list = this.list.filter((s) => s !== same);
    this.list.push({ id: ++this.count, file, state: "waiting", sent: 0, note: "", lost: false, ...(from ? { address: from } : {}) });
    this.next();
  }

  pause(id: number): void {
    const sending = this.find(id);
    if (!sending || sending.state === "refused") return;
    if (sending === this.carrying) this.halt();
    sending.state = "paused";
    sending.note = "";
    this.next();
  }

  resume(id: number): void {
    const sending = this.find(id);
    if (!sending) return;
    if (sending.state === "interrupted") return this.tryNow();
    if (sending.state !== "paused") return;
    sending.state = "waiting";
    this.next();
  }

  /** Takes a film off the list. What the server has of it stays until it is dropped there. */
  remove(id: number): void {
    const sending = this.find(id);
    if (!sending) return;
    if (sending === this.carrying) this.halt();
    this.list = this.list.filter((s) => s !== sending);
    this.next();
  }

  /** The signal is back, or somebody asks: no more waiting. */
  tryNow(): void {
    if (this.carrying?.state !== "interrupted") return;
    this.stopWaiting();
    this.start(this.carrying);
  }

  private find(id: number): Sending<F> | undefined {
    return this.list.find((s) => s.id === id);
  }

  private halt(): void {
    this.stopWaiting();
    this.carrier?.stop();
    this.carrier = undefined;
    this.carrying = undefined;
  }

  private next(): void {
    if (!this.carrying) {
      const waiting = this.list.find((s) => s.state === "waiting");
      this.tries = 0;
      if (waiting) return this.start(waiting);
    }
    this.world.changed();
  }

  private start(sending: Sending<F>): void {
    this.carrying = sending;
    sending.state = "sending";
    sending.note = "";
    let live = true;
    const mine = (act: () => void) => {
      if (live && this.carrying === sending) act();
    };
    const carrier = this.world.carry(sending.file, sending.address, {
      begun: (address) => mine(() => void (sending.address = address)),
      sent: (bytes) => mine(() => {
        if (bytes > sending.sent) this.tries = 0;
        sending.sent = bytes;
        this.world.changed();
      }),
      arrived: () => mine(() => {
        this.list = this.list.filter((s) => s !== sending);
        this.halt();
        this.world.arrived(sending.file);
        this.next();
      }),
      failed: (failure) => mine(() => this.failed(sending, failure)),
    });
    this.carrier = {
      stop: () => {
        live = false;
        carrier.stop();
      },
    };
    this.world.changed();
  }

  private failed(sending: Sending<F>, failure: Failure): void {
    this.carrier = undefined;
    if (!passes(failure.status)) {
      sending.state = "refused";
      sending.note = failure.sentence;
      this.halt();
      return this.next();
    }
    sending.state = "interrupted";
    sending.lost = failure.status === 0;
    const pause = pauses[Math.min(this.tries++, pauses.length - 1)]!;
    this.stopWaiting = this.world.after(pause, () => this.tryNow());
    this.world.changed();
  }
}

/** Whether what went wrong passes by itself: no signal, a busy or restarting server. */
export function passes(status: number): boolean {
  return status === 0 || status === 409 || status === 423 || status === 429 || status >= 500;
}
