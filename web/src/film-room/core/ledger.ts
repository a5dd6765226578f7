// The ledger as this window knows it: the server's reps, with the changes that
// are on their way laid over them. Changes are sent one after the other, in order,
// at once; nothing somebody else changed is overwritten silently.
import type { Rep, RepChange } from "../../api/types";
import { bare, clashes, differences, edit, picked, same, withFields, type Change, type Field, type Fields, type Key } from "./change";
import { acceptable } from "./found";
import { History, type Step } from "./history";

/** What the ledger needs of the API. A failure carries the HTTP status, 0 for none. */
export interface Desk {
  /** Logs a rep. Sent again under the same key, it answers with the one it logged. */
  add(key: Key, fields: Fields): Promise<RepChange>;
  /** Changes a rep. Marks that come back count again as they did at the version marksOf of it. */
  edit(id: string, version: number, fields: Fields, marksOf?: number): Promise<RepChange>;
  remove(id: string, version: number): Promise<{ revision: number }>;
  restore(id: string): Promise<RepChange>;
  /** Makes found instants of these reps marks. */
  accept(ids: readonly string[]): Promise<void>;
  /**
   * Puts a run of readings on the reps, all of them or none; refused once the bullpen is
   * past the revision. The ids of the reps that it logged: sent again, the same ones.
   */
  enter(run: Run, revision: number): Promise<readonly string[]>;
  /** The bullpen's reps as they are now. */
  reps(): Promise<{ revision: number; reps: readonly Rep[] }>;
  /** Pauses between tries, in milliseconds. */
  wait(ms: number): Promise<void>;
}

/** Many readings as they were typed, and how many reps further on the first one goes. */
export interface Run {
  text: string;
  shift: number;
  /** Each reading after the last rep gets a new rep. */
  newReps: boolean;
  /** A name of its own: sent again under it, its new reps are not logged a second time. */
  key: string;
}

/** A rep as the page shows it. */
export interface Row {
  /** Stays the same while the page is open, also once the server gave an id. */
  key: Key;
  rep: Rep;
  /** Something about it is not saved yet. */
  unsaved: boolean;
}

/** Two windows disagree about one rep: about fields, or it was to go and has changed. */
export interface Clash {
  key: Key;
  fields: Field[];
  /** What was entered here; for a rep that was to go, what was seen when it was deleted. */
  mine: Fields;
  removing: boolean;
  theirs: Rep;
}

export type Saving =
  | { state: "saved" }
  | { state: "saving" }
  | { state: "waiting"; problem: string }
  | { state: "clash"; clash: Clash };

interface Waiting {
  change: Change;
  tries: number;
  /** It may have reached the server, which has not answered yet. */
  sent?: boolean;
  /** Of a deletion: the rep as it was on the page then; missing for one the server had not seen. */
  seen?: Rep;
}

export class Ledger {
  readonly history = new History();
  saving: Saving = { state: "saved" };
  /** The last thing that could not be saved at all, in one sentence. */
  problem = "";

  private reps: readonly Rep[] = [];
  private revision = -1;
  private removed = new Map<string, Rep>();
  /** At which version a rep had these fields. How its marks counted then, found or by hand, the server knows. */
  private versions = new WeakMap<Fields, number>();
  private queue: Waiting[] = [];
  private ids = new Map<Key, string>();
  private keys = new Map<string, Key>();
  private running = false;
  /** The latest of what the server had while it owed the answer to a new rep. */
  private seen: { revision: number; reps: readonly Rep[] } | undefined;
  private cache: Row[] | undefined;
  private wake: () => void = () => {};
  /** Who waits until all is saved, and looks again at every change. */
  private idle: (() => void)[] = [];
  /** The ledger before a run of readings whose answer never came, by the run's key. */
  private unheard = new Map<string, readonly Row[]>();
  /** What the server is asked to do with many reps at once goes one after the other, each on top of what the one before did. */
  private many: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly desk: Desk,
    private readonly changed: () => void,
    /** The order of films, for a rep whose place the server has not said yet. */
    private readonly place: (filmId: string | undefined) => number = () => 0,
  ) {}

  /**
   * Takes the server's reps, unless they are older than what is known. While the answer
   * to a new rep is on its way they wait: it may be among them under an id that is not
   * known to be its own yet, and would stand there twice.
   */
  adopt(revision: number, reps: readonly Rep[]): void {
    if (!this.seen || revision >= this.seen.revision) this.seen = { revision, reps };
    this.lookAtSeen();
  }

  private lookAtSeen(): void {
    const { seen } = this;
    const head = this.queue[0];
    if (!seen || head?.change.kind === "add" && head.sent) return;
    this.seen = undefined;
    this.takeAll(seen.revision, seen.reps);
  }

  private takeAll(revision: number, reps: readonly Rep[]): void {
    if (revision < this.revision) return;
    this.revision = revision;
    this.reps = reps;
    this.clashNow();
    this.touch();
  }

  /** What is asked about a clash is what the other window has now; nothing, once it agrees. */
  private clashNow(): void {
    const head = this.queue[0]?.change;
    if (this.saving.state !== "clash" || head?.kind !== "edit") return;
    const theirs = this.reps.find((rep) => rep.id === this.idOf(head.rep));
    const fields = theirs ? clashes(head, theirs) : [];
    if (theirs && fields.length > 0) {
      this.saving = { state: "clash", clash: { ...this.saving.clash, fields, theirs } };
    } else {
      this.saving = { state: "saving" };
      void this.pump();
    }
  }

  /** Every rep in the order thrown, unsaved changes included. */
  rows(): readonly Row[] {
    return (this.cache ??= this.laidOut());
  }

  private laidOut(): Row[] {
    const rows: Row[] = this.reps.map((rep) => ({ key: this.keyOf(rep.id), rep, unsaved: false }));
    rows.sort((a, b) => a.rep.order - b.rep.order);
    for (const { change } of this.queue) this.lay(rows, change);
    return rows.map((row, i) => ({ ...row, rep: { ...row.rep, order: i + 1 } }));
  }

  row(key: Key): Row | undefined {
    return this.rows().find((row) => row.key === key);
  }

  /** A new rep's name until the server gives it an id, and what it is sent under: no other window has it. */
  newKey(): Key {
    // Not randomUUID, which a page that came over plain HTTP does not have.
    return `new-${Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("")}`;
  }

  /** Makes changes now, notes them as one step for undo, and sends them. */
  make(...changes: Change[]): void {
    if (changes.length > 0) this.history.did(changes);
    this.send({ changes });
  }

  /**
   * Makes what was found on these reps marks, once all before it is saved, and notes
   * it as one step for undo; how many marks on how many reps. Accepted marks are no
   * hand marks, so this is the server's to do.
   */
  accept(keys: readonly Key[]): Promise<{ marks: number; reps: number }> {
    return this.afterMany(() => this.acceptNow(keys));
  }

  private async acceptNow(keys: readonly Key[]): Promise<{ marks: number; reps: number }> {
    await this.allSaved();
    const before = keys.flatMap((key) => this.row(key) ?? []);
    await this.desk.accept(before.map(({ key }) => this.idOf(key)));
    const { revision, reps } = await this.desk.reps();
    this.adopt(revision, reps);
    const changes = before.flatMap(({ key, rep }) => {
      const now = reps.find(({ id }) => id === this.idOf(key));
      const taken = Object.entries(acceptable(rep)).filter(([field, frame]) => now?.[field as Field] === frame);
      const change = edit(key, rep, Object.fromEntries(taken));
      if (change?.kind !== "edit") return [];
      this.versions.set(change.before, rep.version).set(change.fields, now!.version);
      return change;
    });
    if (changes.length > 0) this.history.did(changes, "accepting");
    this.touch();
    return { marks: changes.reduce((n, c) => n + (c.kind === "edit" ? Object.keys(c.fields).length : 0), 0), reps: changes.length };
  }

  /**
   * Puts a run of readings on the ledger in one request, once all before it is saved,
   * and notes it as one step for undo; how many reps changed and how many are new. The
   * run was matched to the reps at that revision: with any change since, nothing of it
   * is saved.
   */
  enter(run: Run, revision: number): Promise<{ changed: number; logged: number }> {
    return this.afterMany(() => this.enterNow(run, revision));
  }

  private async enterNow(run: Run, revision: number): Promise<{ changed: number; logged: number }> {
    await this.allSaved();
    // Sent again because no answer came, it may be on the ledger already.
    const before = this.unheard.get(run.key) ?? this.rows();
    this.unheard.set(run.key, before);
    const logged = await this.desk.enter(run, revision).catch((failure: unknown) => {
      if (!passes(readFailure(failure).status)) this.unheard.delete(run.key);
      throw failure;
    });
    this.unheard.delete(run.key);
    const now = await this.desk.reps();
    this.adopt(now.revision, now.reps);
    const edits = before.flatMap(({ key, rep }) => {
      const { reading = null, pitch } = now.reps.find(({ id }) => id === this.idOf(key)) ?? rep;
      return edit(key, rep, { reading, pitch }) ?? [];
    });
    const adds = logged.map((id): Change => ({ kind: "add", rep: this.keyOf(id), fields: {} }));
    if (edits.length + adds.length > 0) this.history.did([...edits, ...adds], "readings");
    this.touch();
    return { changed: edits.length, logged: adds.length };
  }

  private afterMany<T>(go: () => Promise<T>): Promise<T> {
    const done = this.many.then(go);
    this.many = done.catch(() => undefined); // whoever asked hears of a failure; the next one begins all the same
    return done;
  }

  /** Waits until all before is saved; fails when that can't be done now, so that nothing is sent later unasked. */
  private async allSaved(): Promise<void> {
    while (this.queue.length > 0) {
      if (this.saving.state === "waiting" || this.saving.state === "clash") throw { message: "What was entered before is not saved yet. Once it is, do this again." };
      await new Promise<void>((resolve) => this.idle.push(resolve));
    }
  }

  /** Takes the last step back; what was done for it. */
  undo(): Step {
    return this.send(this.history.undo());
  }

  redo(): Step {
    return this.send(this.history.redo());
  }

  /** Ends a clash: my value goes in, or the other one stays. */
  choose(side: "mine" | "theirs"): void {
    if (this.saving.state !== "clash") return;
    const { theirs } = this.saving.clash;
    const head = this.queue[0];
    if (head?.change.kind === "remove") {
      if (side === "theirs") {
        this.queue.shift();
        this.history.forget(head.change.rep);
      } else {
        head.seen = theirs;
      }
    } else if (head?.change.kind === "edit") {
      if (side === "theirs") {
        this.queue.shift();
        this.history.forget(head.change.rep);
      } else {
        const before: Record<string, unknown> = {};
        for (const field of Object.keys(head.change.fields) as Field[]) before[field] = theirs[field] ?? null;
        head.change = { ...head.change, before };
      }
    }
    this.saving = { state: "saving" };
    void this.pump();
    this.touch();
  }

  /** Tries again now instead of a little later. */
  retry(): void {
    this.wake();
  }

  get unsaved(): number {
    return this.queue.length;
  }

  idOf(key: Key): string {
    return this.ids.get(key) ?? key;
  }

  keyOf(id: string): Key {
    return this.keys.get(id) ?? id;
  }

  private send(step: Step): Step {
    if (step.changes.length === 0) return step;
    for (const change of step.changes) {
      const row = change.kind === "remove" ? this.row(change.rep) : undefined;
      if (row) this.removed.set(this.idOf(change.rep), row.rep);
      const seen = row && row.rep.version > 0 ? { seen: row.rep } : {};
      this.queue.push({ change, tries: 0, ...seen });
      this.cache = undefined; // the next change is made on top of this one
    }
    this.problem = "";
    if (this.saving.state === "saved") this.saving = { state: "saving" };
    void this.pump();
    this.touch();
    return step;
  }

  private async pump(): Promise<void> {
    if (this.running) return;
    this.running = true;
    while (this.queue.length > 0 && this.saving.state !== "clash") {
      const head = this.queue[0]!;
      try {
        await this.deliver(head);
        if (this.queue[0] === head && this.saving.state === "saving") this.queue.shift();
      } catch (failure) {
        await this.failed(head, failure);
      }
      this.touch();
    }
    this.running = false;
    if (this.queue.length === 0) {
      this.saving = { state: "saved" };
      this.touch();
    }
  }

  private async deliver(head: Waiting): Promise<void> {
    this.saving = { state: "saving" };
    const { change } = head;
    const id = this.idOf(change.rep);
    switch (change.kind) {
      case "add":
        head.sent = true;
        this.take(change.rep, await this.desk.add(change.rep, change.fields));
        head.sent = false;
        return this.lookAtSeen();
      case "edit": {
        const now = this.reps.find((rep) => rep.id === id);
        if (!now) throw { status: 404, message: "That rep was deleted in another window." };
        const fields = clashes(change, now);
        if (fields.length > 0) {
          this.saving = { state: "clash", clash: { key: change.rep, fields, mine: change.fields, removing: false, theirs: now } };
          return;
        }
        const { versions } = this;
        if (!versions.has(change.before)) versions.set(change.before, now.version);
        const answer = await this.desk.edit(id, now.version, change.fields, marks(change.fields) ? versions.get(change.fields) : undefined);
        if (!versions.has(change.fields)) versions.set(change.fields, answer.rep.version);
        return this.take(change.rep, answer);
      }
      case "remove": {
        const now = this.reps.find((rep) => rep.id === id);
        if (!now) return;
        const fields = head.seen ? differences(head.seen, now) : [];
        if (fields.length > 0) {
          this.saving = { state: "clash", clash: { key: change.rep, fields, mine: picked(head.seen!, fields), removing: true, theirs: now } };
          return;
        }
        const { revision } = await this.desk.remove(id, now.version);
        this.removed.set(id, now);
        if (revision < this.revision) return;
        this.revision = revision;
        this.reps = shifted(this.reps.filter((rep) => rep.id !== id), now.order + 1, -1);
        return;
      }
      case "restore":
        return this.take(change.rep, await this.desk.restore(id));
    }
  }

  private take(key: Key, { rep, revision }: RepChange): void {
    if (rep.id !== key) {
      this.ids.set(key, rep.id);
      this.keys.set(rep.id, key);
    }
    if (revision < this.revision) return;
    this.revision = revision;
    const known = this.reps.some((r) => r.id === rep.id);
    this.reps = known
      ? this.reps.map((r) => (r.id === rep.id ? withFilmSpeed(rep, r) : r))
      : [...shifted(this.reps, rep.order, 1), rep];
  }

  private async failed(head: Waiting, failure: unknown): Promise<void> {
    const { status, message } = readFailure(failure);
    head.tries++;
    if (status === 409 && head.tries < 10) {
      // Somebody else was first: look at what there is now, then try again on top of it.
      try {
        const { revision, reps } = await this.desk.reps();
        this.adopt(revision, reps);
        return;
      } catch {
        // No answer either: wait below, like for any other lost connection.
      }
    } else if (!passes(status)) {
      this.drop(head.change, message);
      return;
    }
    this.saving = { state: "waiting", problem: message };
    this.touch();
    const woken = new Promise<void>((resolve) => (this.wake = resolve));
    await Promise.race([woken, this.desk.wait(Math.min(500 * 2 ** (head.tries - 1), 8000))]);
  }

  /** Gives a change up, and with a rep that never was, all that was to follow. */
  private drop(change: Change, message: string): void {
    this.problem = message;
    this.history.forget(change.rep);
    this.queue = this.queue.filter((w) => w.change !== change && (change.kind !== "add" || w.change.rep !== change.rep));
    this.lookAtSeen();
  }

  private touch(): void {
    this.cache = undefined;
    this.changed();
    for (const go of this.idle.splice(0)) go();
  }

  /** Lays a change that is not saved yet over the rows. */
  private lay(rows: Row[], change: Change): void {
    const at = rows.findIndex((row) => row.key === change.rep);
    switch (change.kind) {
      case "add":
        if (at < 0) this.insert(rows, { key: change.rep, rep: provisional(change.rep, change.fields), unsaved: true });
        return;
      case "restore": {
        const rep = this.removed.get(this.idOf(change.rep));
        if (at < 0 && rep) this.insert(rows, { key: change.rep, rep, unsaved: true });
        return;
      }
      case "edit":
        if (at >= 0) rows[at] = { key: change.rep, rep: withFields(rows[at]!.rep, change.fields), unsaved: true };
        return;
      case "remove":
        if (at >= 0) rows.splice(at, 1);
    }
  }

  /** Puts a row where its release lies on the films, or last. */
  private insert(rows: Row[], row: Row): void {
    const { filmId, release } = row.rep;
    const at = rows.findIndex(({ rep }) => {
      if (release === undefined || rep.release === undefined) return false;
      const films = this.place(rep.filmId) - this.place(filmId);
      return films > 0 || (films === 0 && rep.release > release);
    });
    rows.splice(at < 0 ? rows.length : at, 0, row);
  }
}

/** Whether the fields are marks that may count as found or as placed by hand. */
function marks(fields: Fields): boolean {
  return fields.drive !== undefined || fields.plant !== undefined || fields.top !== undefined;
}

/** The answer to a change does not say the film's speed: while what it hangs on is the same, it is too. */
function withFilmSpeed(rep: Rep, before: Rep): Rep {
  const kept = before.filmSpeed && before.release === rep.release && same(before.reading, rep.reading);
  return kept ? { ...rep, filmSpeed: before.filmSpeed! } : rep;
}

/** The reps with every order from one on moved by so many places. */
function shifted(reps: readonly Rep[], from: number, by: number): Rep[] {
  return reps.map((rep) => (rep.order >= from ? { ...rep, order: rep.order + by } : rep));
}

/** A rep the server has not seen yet: nothing about it is judged. */
function provisional(key: Key, fields: Fields): Rep {
  return withFields(bare(key), fields);
}

/** What a failure says, for the eye. */
export function messageOf(failure: unknown): string {
  return readFailure(failure).message;
}

/** Somebody else was first. */
export function isConflict(failure: unknown): boolean {
  return readFailure(failure).status === 409;
}

/** Whether what went wrong passes by itself: no answer, too many questions, a server in trouble. */
function passes(status: number): boolean {
  return status === 0 || status === 429 || status >= 500;
}

function readFailure(failure: unknown): { status: number; message: string } {
  const f = failure as { status?: unknown; message?: unknown } | null;
  return {
    status: typeof f?.status === "number" ? f.status : 0,
    message: typeof f?.message === "string" && f.message !== "" ? f.message : "tenoff does not answer.",
  };
}
