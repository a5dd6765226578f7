// What the core's tests share: a server without a network, a picture without pixels.
import type { Film, Rep, RepChange } from "../../api/types";
import { FrameClock } from "../../player/clock";
import { bare, withFields, type Fields } from "./change";
import { acceptable } from "./found";
import { actionOf } from "./keys";
import { Ledger, type Desk, type Run } from "./ledger";
import { Room, type Loop, type Proposal, type Screen } from "./room";

/** A server of the tests' own, with versions, soft deletion and bad moods. */
export class Server implements Desk {
  reps_: Rep[] = [];
  gone = new Map<string, Rep>();
  revision = 0;
  calls: string[] = [];
  /** As of which version of its rep each edit was sent. */
  asOf: (number | undefined)[] = [];
  /** Fails the next calls with these statuses. */
  moods: number[] = [];
  /** Does the work of the next add or run, then loses the answer. */
  loseAnswer = false;
  /** Is called between a change and its answer. */
  meanwhile: () => void = () => {};
  private sent = new Map<string, string>();
  private runs = new Map<string, string[]>();
  private n = 0;

  async add(key: string, fields: Fields): Promise<RepChange> {
    this.mood("add");
    const known = this.sent.get(key);
    if (known !== undefined) return this.answer(known);
    const rep = withFields(blank(`id${++this.n}`), fields);
    this.sent.set(key, rep.id);
    this.reps_.push(rep);
    this.sort();
    this.meanwhile();
    if (this.loseAnswer) {
      this.loseAnswer = false;
      throw { status: 0, message: "lost" };
    }
    return this.answer(rep.id);
  }
  async edit(id: string, version: number, fields: Fields, marksOf?: number): Promise<RepChange> {
    this.mood("edit");
    this.asOf.push(marksOf);
    const rep = this.find(id);
    if (rep.version !== version) throw { status: 409, message: "changed" };
    this.put(id, fields);
    return this.answer(id);
  }
  async remove(id: string, version: number): Promise<{ revision: number }> {
    this.mood("remove");
    const rep = this.find(id);
    if (rep.version !== version) throw { status: 409, message: "changed" };
    this.gone.set(id, rep);
    this.reps_ = this.reps_.filter((r) => r.id !== id);
    this.sort();
    return { revision: this.revision };
  }
  async restore(id: string): Promise<RepChange> {
    this.mood("restore");
    this.reps_.push(this.gone.get(id)!);
    this.sort();
    return this.answer(id);
  }
  async accept(ids: readonly string[]): Promise<void> {
    this.mood("accept");
    for (const id of ids) this.put(id, acceptable(this.find(id)));
  }
  async enter({ text, shift, newReps, key }: Run, revision: number): Promise<readonly string[]> {
    this.mood("enter");
    this.meanwhile();
    const known = this.runs.get(key);
    if (known) return known;
    if (revision !== this.revision) throw { status: 409, message: "look at the pairs again" };
    const values = text.split(" ").map(Number);
    const behind = newReps ? values.slice(Math.max(0, this.reps_.length - shift)) : [];
    this.reps_ = this.reps_.map((r, i) => (values[i - shift] ? { ...withFields(r, { reading: mph(values[i - shift]!) }), version: r.version + 1 } : r));
    const logged = behind.map((value) => withFields(blank(`id${++this.n}`), { reading: mph(value) }));
    this.reps_.push(...logged);
    this.sort();
    const ids = logged.map((r) => r.id);
    if (ids.length > 0) this.runs.set(key, ids);
    if (this.loseAnswer) {
      this.loseAnswer = false;
      throw { status: 0, message: "lost" };
    }
    return ids;
  }
  /** What a search found on a rep. */
  saw(id: string, found: NonNullable<Rep["found"]>): void {
    this.reps_ = this.reps_.map((r) => (r.id === id ? { ...r, found } : r));
    this.revision++;
  }
  async reps(): Promise<{ revision: number; reps: Rep[] }> {
    this.mood("reps");
    return { revision: this.revision, reps: this.reps_.map((r) => ({ ...r })) };
  }
  async wait(): Promise<void> {
    this.calls.push("wait");
  }
  /** What another window does. */
  put(id: string, fields: Fields): void {
    this.reps_ = this.reps_.map((r) => (r.id === id ? { ...withFields(r, fields), version: r.version + 1 } : r));
    this.revision++;
  }
  private find(id: string): Rep {
    const rep = this.reps_.find((r) => r.id === id);
    if (!rep) throw { status: 404, message: "no such rep" };
    return rep;
  }
  private answer(id: string): RepChange {
    return { rep: { ...this.find(id) }, revision: this.revision };
  }
  private sort(): void {
    this.reps_.sort((a, b) => (a.filmId ?? "").localeCompare(b.filmId ?? "") || (a.release ?? 1e9) - (b.release ?? 1e9));
    this.reps_ = this.reps_.map((r, i) => ({ ...r, order: i + 1 }));
    this.revision++;
  }
  private mood(call: string): void {
    this.calls.push(call);
    const status = this.moods.shift();
    if (status !== undefined) throw { status, message: `status ${status}` };
  }
}

export function blank(id: string): Rep {
  return { ...bare(id), version: 1, bullpenId: "b", pitchName: "fastball" };
}

/** A run as the page sends it. */
export const run = (text: string, newReps = false): Run => ({ text, shift: 0, newReps, key: text });

export const mph = (value: number) => ({ value, unit: "mph", step: 1, gun: "behind catcher" }) as const;

/** Waits until the ledger has sent everything or needs an answer. */
export async function settled(ledger: Ledger): Promise<void> {
  for (let i = 0; i < 200 && ledger.saving.state !== "saved" && ledger.saving.state !== "clash"; i++) {
    await new Promise((resolve) => setImmediate(resolve));
  }
}

/** A picture without pixels: it paints what is asked for when `paint` is called, or at once. */
export class Pane implements Screen {
  at = { film: "", frame: 0 };
  asked: { film: string; frame: number } | undefined;
  log: string[] = [];
  slow = false;
  room!: Room;
  private waiting: (() => void)[] = [];

  show(film: string, frame: number): void {
    this.asked = { film, frame };
    if (!this.slow) this.paint();
  }
  play(speed: number, loop?: Loop): void {
    this.log.push(loop ? `${loop.once ? "once" : "loop"} ${loop.from}-${loop.to} at ${speed}` : `play at ${speed}`);
  }
  pause(): void {
    this.log.push("pause");
  }
  async settled(): Promise<{ film: string; frame: number }> {
    while (this.asked) await new Promise<void>((resolve) => this.waiting.push(resolve));
    return this.at;
  }
  paint(): void {
    if (this.asked) this.at = this.asked;
    this.asked = undefined;
    this.room.painted(this.at.film, this.at.frame);
    for (const done of this.waiting.splice(0)) done();
  }
}

export function film(id: string, frames: number, position: number, seconds = frames / 30): Film {
  return {
    id, version: 1, bullpenId: "b", name: `${id}.mp4`, bytes: 1, state: "ready", steppable: true, position, width: 640, height: 360,
    codec: "h264", hdr: false, hasSound: true, frames, seconds, rate: 30, slow: 1, slowKnown: true, view: "", soundLate: 0,
  };
}

/** finished: of a film that is being read, how many frames can be shown. */
export function clock(frames: number, finished?: number): FrameClock {
  const ticks = Array.from({ length: frames }, (_, n) => n * 3000);
  return new FrameClock({ num: 1, den: 90000, ticks, working: ticks, slow: 1, ...(finished === undefined ? {} : { finished }) });
}

/** A room with the given films, and what it said and asked for. */
export function roomWith(films: Film[], proposals: Proposal[] = [], planned = false, finished?: number) {
  const server = new Server();
  const pane = new Pane();
  const said: string[] = [];
  const errands: string[] = [];
  const ledger = new Ledger(server, () => {}, (id) => films.findIndex((f) => f.id === id));
  ledger.adopt(0, []);
  const room = new Room({
    screen: pane,
    ledger,
    films: () => films,
    // As the server does: what lies near a rep is proposed no longer.
    proposals: () => proposals.filter((p) => !ledger.rows().some(({ rep }) => rep.filmId === p.filmId && Math.abs((rep.release ?? -99) - p.release) < 36)),
    throwOut: (id, back) => {
      const p = proposals.find((one) => one.id === id);
      if (p) p.state = back ? "open" : "thrown out";
    },
    givenUp: () => false,
    clock: (id) => { const f = films.find((x) => x.id === id); return f && clock(f.frames, finished); },
    pitches: () => [
      { code: "fb", key: "f", name: "fastball" },
      { code: "ch", key: "c", name: "change-up" },
    ],
    gun: () => ({ place: "behind catcher", unit: "mph", step: 1 }),
    planned: () => planned,
    changed: () => {},
    say: (sentence) => said.push(sentence),
    errand: (errand) => errands.push(typeof errand === "string" ? errand : errand.look),
  });
  pane.room = room;
  let keys = 0;
  /** Presses keys by name, as the page would: in the field while it is open, else as actions. */
  const press = async (...names: string[]) => {
    for (const name of names) {
      keys++;
      const { typing } = room.state;
      if (typing && name === "Enter") room.confirm();
      else if (typing && name === "Escape") room.leave();
      else if (typing) room.type(typing.text + name);
      else {
        const shiftKey = name.startsWith("Shift+");
        const action = actionOf({ key: name.replace("Shift+", ""), shiftKey });
        if (action) room.act(action);
      }
      await new Promise((resolve) => setImmediate(resolve));
    }
  };
  if (films[0]) room.open(films[0].id);
  return { room, pane, ledger, server, said, errands, press, keys: () => keys };
}
