// What was typed at the fence, kept on the phone until the laptop has it. Each entry has
// a place of its own in the storage, so that two tabs do not write over each other, and a
// revision: what is told again, late or out of order comes to the same.
import type { FieldEntry, FieldTaken } from "../api/types";

/** An entry as the phone keeps it. */
export interface Kept extends FieldEntry {
  /** The link that it was typed under, "" for none. */
  link: string;
  /** The laptop has it as it is. */
  sent: boolean;
  /** The laptop has it, or had it before it was taken back. */
  known?: boolean;
  /** Why the laptop does not take it, in one sentence. */
  refused?: string;
}

/** The part of a browser's storage that is needed. */
export interface Place {
  readonly length: number;
  key(index: number): string | null;
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
  removeItem(key: string): void;
}

const prefix = "tenoff-field/";

/** How long what was sent stays to be looked at, ms. */
const staysFor = 3 * 24 * 3600 * 1000;

export class Book {
  private entries = new Map<string, Kept>();
  /** Entries live on this page only: the phone lets nothing be kept. */
  fleeting = false;

  constructor(
    private readonly place: Place | undefined,
    now: number,
  ) {
    this.fleeting = place === undefined;
    this.look();
    for (const e of [...this.entries.values()]) {
      if (e.sent && now - e.at / 1000 > staysFor) this.drop(e.id);
    }
  }

  /** Reads what is kept, by this tab or another. */
  look(): void {
    if (!this.place || this.fleeting) return;
    for (let i = 0; i < this.place.length; i++) {
      const key = this.place.key(i);
      if (!key?.startsWith(prefix)) continue;
      const e = read(this.place.getItem(key));
      if (e) this.entries.set(e.id, e);
    }
  }

  /** All that was typed, in order. */
  all(): Kept[] {
    return [...this.entries.values()].sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
  }

  /** What a pitcher's day has, without what was taken back. */
  of(pitcherId: string, day: string): Kept[] {
    return this.all().filter((e) => e.pitcherId === pitcherId && e.day === day && !e.undone);
  }

  keep(e: Kept): void {
    this.entries.set(e.id, e);
    if (!this.place) return;
    try {
      this.place.setItem(prefix + e.id, JSON.stringify(e));
    } catch {
      this.fleeting = true;
    }
  }

  /** Takes an entry back; the laptop is told so too, and what it refused before is over. */
  undo(id: string): Kept | undefined {
    const e = this.entries.get(id);
    if (!e) return undefined;
    const { refused: _, ...rest } = e;
    this.keep({ ...rest, undone: true, revision: e.revision + 1, sent: false, known: (e.known ?? false) || e.sent });
    return e;
  }

  /** Leaves one standing whose taking back the laptop refused: it is there as it was typed. */
  stand(id: string): void {
    const e = this.entries.get(id);
    if (!e?.undone || e.refused === undefined || !e.known) return;
    const { undone: _, refused: __, ...rest } = e;
    this.keep({ ...rest, sent: true });
  }

  /** What the laptop does not have yet, the first of it; what it refused before comes last, so that it keeps nothing out. */
  unsent(most = 100): Kept[] {
    const unsent = this.all().filter((e) => !e.sent);
    return [...unsent.filter((e) => e.refused === undefined), ...unsent.filter((e) => e.refused !== undefined)].slice(0, most);
  }

  /** What the laptop has to hear yet. One that was taken back before it heard of it is nobody's. */
  get waiting(): number {
    return this.all().filter((e) => !e.sent && (!e.undone || e.known)).length;
  }

  /** What the laptop does not take, and what it keeps though it was taken back here: never what it never had. */
  get refused(): { readings: Kept[]; takenBack: Kept[] } {
    const refused = this.all().filter((e) => e.refused !== undefined && !e.sent);
    return { readings: refused.filter((e) => !e.undone), takenBack: refused.filter((e) => e.undone && e.known) };
  }

  /** Notes what the laptop answered to what was told: a later revision is still to be told. */
  told(entries: readonly Kept[], answer: FieldTaken): void {
    const taken = new Set(answer.taken);
    const refused = new Map(answer.refused.map((r) => [r.id, r.why]));
    for (const e of entries) {
      const now = this.entries.get(e.id);
      if (!now) continue;
      const why = refused.get(e.id);
      if (now.revision !== e.revision) {
        if (taken.has(e.id)) this.keep({ ...now, known: true });
        continue;
      }
      if (taken.has(e.id)) {
        const { refused: _, ...rest } = now;
        this.keep({ ...rest, sent: true, known: true });
      } else if (why !== undefined) {
        this.keep({ ...now, refused: why });
      }
    }
  }

  private drop(id: string): void {
    this.entries.delete(id);
    this.place?.removeItem(prefix + id);
  }
}

/** What goes over the line: it is this link's where it was typed under it. */
export function sending(e: Kept, link: string): FieldEntry {
  const { link: under, sent: _, refused: __, known: ___, ...rest } = e;
  return { ...rest, here: under !== "" && under === link };
}

function read(text: string | null): Kept | undefined {
  try {
    const e = JSON.parse(text ?? "") as Kept;
    return typeof e.id === "string" && typeof e.at === "number" && typeof e.revision === "number" ? e : undefined;
  } catch {
    return undefined;
  }
}

/** A random name; crypto.randomUUID is not there without encryption. */
export function newName(random: (bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer> = (b) => crypto.getRandomValues(b)): string {
  return [...random(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

/** The day on the phone's calendar. */
export function dayOf(ms: number): string {
  const d = new Date(ms);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}
