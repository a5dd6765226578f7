// The film room's state and what every action does to it. It knows no browser:
// the picture is a Screen, the reps are a Ledger, and whoever paints asks for the
// state after each change.
import type { Film, GunPlace, Pitch, Reading, Rep, Unit } from "../../api/types";
import type { FrameClock } from "../../player/clock";
import { edit, instants, same, type Fields, type Instant, type Key } from "./change";
import { read, type Entry, type PitchKey } from "./entry";
import { acceptable, nextInstant, sentenceOfInstant } from "./found";
import type { Action } from "./keys";
import { messageOf, type Ledger, type Row } from "./ledger";
import { wentText } from "./went";

/** The picture, as the room directs it. It reports each painted frame to Room.painted. */
export interface Screen {
  show(film: string, frame: number): void;
  play(speed: number, loop?: Loop): void;
  pause(): void;
  /** The frame on show, once nothing is on its way any more. */
  settled(): Promise<{ film: string; frame: number }>;
}

/** The first and the last frame of a loop. */
export interface Loop {
  from: number;
  to: number;
  /** Played a single time. */
  once?: boolean;
}

/** Where readings come from, unless a rep says otherwise. */
export interface Gun {
  place: GunPlace;
  unit: Unit;
  step: number;
}

/** The open reading field. */
export interface Typing extends Entry {
  key: Key;
  /** It belongs to a rep marked just now. */
  fresh: boolean;
  /** The rep as it was when the field was opened; missing for a fresh one. */
  seen?: Rep;
  /** It is typed by ear: after it the next rep without a reading is heard. */
  byEar?: boolean;
}

export interface RoomState {
  film: string | undefined;
  /** The frame on show, as the browser reported it. */
  frame: number;
  /** The frame asked for; the same as frame unless it is on its way. */
  wanted: number;
  /** The film has shown a frame that was asked for; before, the picture is empty or on its way. */
  painted: boolean;
  playing: boolean;
  speed: number;
  looping: boolean;
  chosen: Key | undefined;
  typing: Typing | undefined;
}

/** Actions that are the page's business: it opens something. */
export type Errand = "note" | "drill" | "column" | "clips" | "find" | "watch" | "help" | "draw" | "joints" | "reply" | "leftOut" | "repeats" | "lineCloser" | "lineWider" | "wholeLine" | "traces" | "about" | "loupe" | Look;

/** How the picture is looked at: closer or wider, moved, or whole. */
export type Look = { look: "zoom"; by: -1 | 1 } | { look: "pan"; dx: number; dy: number } | { look: "whole" };

/** A rep that tenoff found and nobody has confirmed. */
export interface Proposal {
  id: string;
  filmId: string;
  from: number;
  to: number;
  release: number;
  sure: boolean;
  confidence: number;
  /** Found before any release of its film was marked. */
  rough: boolean;
  /** Releases of its film are marked, and its own was not surely found from them. */
  vague: boolean;
  /** Within how many frames its release is found from those marked; missing where it is rough or vague. */
  within?: number;
  reason: string;
  state: string;
}

/** Whether two states are alike but for the frame that is on show or asked for. */
export function onlyMoved(before: RoomState, now: RoomState): boolean {
  return (Object.keys(now) as (keyof RoomState)[]).every((key) => key === "frame" || key === "wanted" || before[key] === now[key]);
}

export interface Around {
  screen: Screen;
  ledger: Ledger;
  films: () => readonly Film[];
  proposals: () => readonly Proposal[];
  /** Says that a proposal is no rep, or takes that back. */
  throwOut: (id: string, back: boolean) => void;
  /** Whether looking for a film's reps anew was given up. */
  givenUp: (film: string) => boolean;
  clock: (film: string) => FrameClock | undefined;
  pitches: () => readonly PitchKey[];
  gun: () => Gun;
  /** A homework's workout says what each rep is. */
  planned: () => boolean;
  changed: () => void;
  /** One sentence for the eye and for a screen reader. */
  say: (sentence: string) => void;
  errand: (errand: Errand) => void;
}

/** Playing speeds, in the world's time. */
export const speeds = [1, 1 / 2, 1 / 4, 1 / 8] as const;

/** The reason of a stretch that only moves like a rep. */
export const unexplained = "unexplained motion";

/** The reason of a stretch on which she walks back to the rubber, as after her other reps. */
export const walkBack = "walk back";

/** Whether what is proposed may be a rep. */
export const mayBeRep = (p: Pick<Proposal, "reason">) => p.reason !== unexplained && p.reason !== walkBack;

/** A loop lasts from so many real seconds before an instant to so many after. */
const loopBefore = 0.8;
const loopAfter = 0.4;

/** What is heard of a rep: so long after its pop, and a moment before, real seconds. */
const heardFor = 2;
const beforePop = 0.1;
/** How long after the release a ball is caught where no pop was found: 55 mph over 38 ft (assumed). */
const usualPop = 0.5;

/** Films up to this length are taken to show one pitch each, when there are several. */
const onePitchSeconds = 20;

export class Room {
  state: RoomState = {
    film: undefined, frame: 0, wanted: 0, painted: false, playing: false, speed: 1, looping: false, chosen: undefined, typing: undefined,
  };
  private marking: Promise<Key> | undefined;
  private accepting: Promise<void> | undefined;
  private confirming: Promise<void> | undefined;
  private leftAt = new Map<string, number>();
  /** The rep at which the room opened by itself, until one is chosen. */
  private opened: Key | undefined;

  constructor(private readonly around: Around) {}

  /** What the picture reports: this frame is on show now. */
  painted(film: string, frame: number): void {
    if (film !== this.state.film) return;
    this.leftAt.set(film, frame);
    const { playing, wanted, painted } = this.state;
    this.set({ frame, painted: painted || playing || frame === wanted, ...(playing ? { wanted: frame } : {}) });
  }

  /** What the picture reports: it came to the end of the film, or the browser stopped it. */
  stopped(): void {
    this.set({ playing: false, wanted: this.state.frame });
  }

  /** Opens a film where it was left, or at the given frame. */
  open(film: string, frame = this.leftAt.get(film) ?? 0): void {
    this.set({ film, wanted: frame, playing: false, ...(film === this.state.film ? {} : { frame, painted: false, looping: false }) });
    this.around.screen.show(film, frame);
  }

  /** Shows a frame of the open film. */
  go(frame: number): void {
    const { film } = this.state;
    if (!film) return;
    const clock = this.around.clock(film);
    const wanted = clock?.within(frame) ?? Math.max(0, frame);
    if (clock && frame > wanted && wanted < clock.frames - 1) this.around.say("The film was read as far as here. The rest comes while it is read.");
    this.stop();
    // The picture is asked for before anything is painted anew: the browser decodes meanwhile.
    this.state = { ...this.state, wanted };
    this.around.screen.show(film, wanted);
    this.around.changed();
  }

  /** Where a visit begins: at the rep that was asked for; else, where nothing waits to be
      decided, at the first one with a gap, so that a marked bullpen opens with an answer. */
  begin(repId?: string): void {
    const rows = this.around.ledger.rows();
    const films = this.ready();
    const told = ({ rep }: Row) => rep.judged.gap !== undefined && rep.release !== undefined && films.some((f) => f.id === rep.filmId);
    const row = repId ? rows.find(({ rep }) => rep.id === repId) : this.openProposals().length === 0 ? rows.find(told) : undefined;
    if (!row) return;
    this.choose(row.key);
    if (!repId) this.opened = row.key;
  }

  choose(key: Key | undefined): void {
    this.opened = undefined;
    this.set({ chosen: key, typing: undefined });
    const rep = key === undefined ? undefined : this.around.ledger.row(key)?.rep;
    const frame = rep && shownAt(rep);
    if (!rep?.filmId || frame === undefined) return;
    if (rep.filmId === this.state.film) {
      const loop = this.state.looping;
      this.go(frame);
      if (loop) this.loop(frame);
    } else if (this.ready().some((f) => f.id === rep.filmId)) {
      this.open(rep.filmId, frame);
    }
  }

  /** Whether what takes a rep out of the numbers has to be asked for twice, and says so: the
      rep is on show because the room opened at it, and nobody chose it. */
  private asks(what: "warm-up" | "delete"): boolean {
    const { opened } = this;
    this.opened = undefined;
    const rep = this.chosen()?.rep;
    if (!rep || opened === undefined || opened !== this.state.chosen) return false;
    this.around.say(`The room opened at rep ${rep.order}; nobody chose it. Once more ${what === "delete" ? "deletes it" : `makes it ${rep.warmUp ? "none of the warm-up" : "a warm-up"}`}.`);
    return true;
  }

  act(action: Action): void {
    switch (action.do) {
      case "step":
        return this.go((this.state.playing ? this.state.frame : this.state.wanted) + action.frames);
      case "ends":
        return this.go(action.to === "first" ? 0 : Number.MAX_SAFE_INTEGER);
      case "play":
        return this.playOrStop();
      case "speed":
        return this.speedBy(action.by);
      case "loop":
        return this.state.looping ? this.stop() : this.loop(this.loopCentre());
      case "rep":
        return this.nextRep(action.by);
      case "film":
        return this.nextFilm(action.by);
      case "proposal":
        return this.nextProposal(action.by);
      case "throwOut":
        return this.throwOut();
      case "isRep":
        return this.isRep();
      case "mark":
        return this.mark();
      case "instant":
        return this.markInstant(action.instant);
      case "look":
        return this.lookAt(action.by);
      case "accept":
        return action.of === "rep" ? this.withChosen((row) => this.accept([row])) : this.accept(this.onThisFilm());
      case "reading":
        return this.openReading();
      case "call":
        return this.toggle((rep) => ({ call: rep.call === action.call ? "" : action.call }));
      case "warmUp":
        return this.asks("warm-up") ? undefined : this.toggle((rep) => ({ warmUp: !rep.warmUp }));
      case "delete":
        return this.asks("delete") ? undefined : this.remove();
      case "undo":
        return this.afterAccepting(() => this.went("undo"));
      case "redo":
        return this.afterAccepting(() => this.went("redo"));
      case "field":
        return this.withChosen(() => this.around.errand(action.field));
      case "watch":
        return this.withChosen(() => this.around.errand("watch"));
      case "zoom":
        return this.around.errand({ look: "zoom", by: action.by });
      case "pan":
        return this.around.errand({ look: "pan", dx: action.dx, dy: action.dy });
      case "whole":
        return this.around.errand({ look: "whole" });
      case "line":
        return this.around.errand(action.by > 0 ? "lineCloser" : "lineWider");
      case "listen":
        return this.listen();
      case "shift":
        return this.withChosen(() => this.around.errand(action.by > 0 ? "leftOut" : "repeats"));
      case "draw":
      case "joints":
      case "reply":
      case "column":
      case "clips":
      case "find":
      case "loupe":
      case "wholeLine":
      case "traces":
      case "about":
      case "help":
        return this.around.errand(action.do);
    }
  }

  /** The reading field holds this now. */
  type(raw: string): void {
    const { typing } = this.state;
    if (!typing) return;
    const entry = read(raw, this.around.pitches());
    const pitch = entry.pitch ?? typing.pitch;
    const { key, fresh, seen, byEar } = typing;
    this.set({ typing: { ...entry, key, fresh, ...(seen ? { seen } : {}), ...(byEar ? { byEar } : {}), ...(pitch ? { pitch } : {}) } });
  }

  /** A pitch was picked by hand: into the open field, else straight onto the chosen rep. */
  pick(pitch: Pitch): void {
    const { typing } = this.state;
    if (typing) this.set({ typing: { ...typing, pitch } });
    else this.toggle(() => ({ pitch }));
  }

  /** Enter in the reading field. */
  confirm(): void {
    const { typing } = this.state;
    if (!typing) return;
    if (typing.problem) return this.around.say(typing.problem);
    const marking = this.marking;
    this.set({ typing: undefined });
    const commit = (key: Key) => {
      const row = this.around.ledger.row(key);
      if (!row) return;
      const seen = typing.seen ?? row.rep;
      const change = edit(key, row.rep, this.fieldsOf(typing, seen), seen);
      if (change) this.around.ledger.make(change);
      if (typing.fresh) this.onwards(row.rep.filmId);
    };
    if (typing.fresh && marking) void marking.then(commit);
    else commit(typing.key);
    if (typing.byEar) this.listenOn(typing.key);
  }

  /** Escape in the reading field. */
  leave(): void {
    this.set({ typing: undefined });
  }

  /** Changes fields of a rep, made against what the user saw when beginning. */
  edit(key: Key, fields: Fields, seen?: Rep): void {
    const row = this.around.ledger.row(key);
    const change = row && edit(key, row.rep, fields, seen ?? row.rep);
    if (change) this.around.ledger.make(change);
  }

  /** The row the keys act on. */
  chosen(): Row | undefined {
    return this.state.chosen === undefined ? undefined : this.around.ledger.row(this.state.chosen);
  }

  /** A new rep, released at the frame on show; without any film, one that was only read off the gun. */
  private mark(): void {
    this.stop();
    const key = this.around.ledger.newKey();
    this.set({ chosen: key, typing: { key, text: "", fresh: true } });
    if (!this.state.film) {
      this.around.ledger.make({ kind: "add", rep: key, fields: this.carried() });
      this.marking = Promise.resolve(key);
      return;
    }
    this.marking = this.markShown(key);
  }

  private markShown(key: Key): Promise<Key> {
    return this.around.screen.settled().then(({ film, frame }) => {
      const twin = this.around.ledger.rows().find(({ rep }) => rep.filmId === film && rep.release === frame);
      if (twin) {
        this.around.say(`Rep ${twin.rep.order} is released at this very frame already.`);
        const { typing } = this.state;
        this.set({ chosen: twin.key, typing: typing && { ...typing, key: twin.key } });
        return twin.key;
      }
      this.around.ledger.make({ kind: "add", rep: key, fields: { ...this.carried(film, frame), filmId: film, release: frame } });
      return key;
    });
  }

  /** What a new rep takes over from the one thrown before it. */
  private carried(film?: string, frame = 0): Fields {
    const before = this.around.ledger.rows().filter(({ rep }) => film === undefined || this.isBefore(rep, film, frame)).pop()?.rep;
    if (!before) return {};
    // Carried over, they would count as set by hand and keep the workout's away.
    if (this.around.planned()) return before.warmUp ? { warmUp: true } : {};
    return {
      ...(before.drill ? { drill: before.drill } : {}),
      ...(before.set ? { set: before.set } : {}),
      ...(before.number ? { number: before.number + 1 } : {}),
      ...(before.warmUp ? { warmUp: true } : {}),
    };
  }

  private markInstant(instant: Instant): void {
    this.withChosen((row) => {
      this.stop();
      const { key } = row;
      void this.around.screen.settled().then(({ film, frame }) => {
        const now = this.around.ledger.row(key)?.rep;
        if (!now) return;
        if (now.filmId && now.filmId !== film && instants.some((i) => now[i] !== undefined)) {
          return this.around.say(`Rep ${now.order} is on another film.`);
        }
        this.edit(key, { filmId: film, [instant]: frame });
        this.around.say(`Rep ${now.order}: ${instant} is at frame ${frame}.`);
      });
    });
  }

  /** On to the chosen rep's next instant, marked or found. */
  private lookAt(by: -1 | 1): void {
    this.withChosen(({ rep }) => {
      const here = rep.filmId === this.state.film;
      const to = nextInstant(rep, here ? this.state.wanted : by * -Infinity, by);
      if (!to || !rep.filmId) return this.around.say(`No instant of rep ${rep.order} is marked or found.`);
      if (here) this.go(to.frame);
      else this.open(rep.filmId, to.frame);
      this.around.say(sentenceOfInstant(rep, to.instant));
    });
  }

  private onThisFilm(): Row[] {
    return this.around.ledger.rows().filter(({ rep }) => rep.filmId !== undefined && rep.filmId === this.state.film);
  }

  /** Makes what was found on these reps marks, as one step to undo. */
  private accept(rows: readonly Row[]): void {
    const waiting = rows.filter(({ rep }) => Object.keys(acceptable(rep)).length > 0);
    if (waiting.length === 0) return this.around.say("Nothing that was found waits to be accepted here.");
    const accepting = this.around.ledger.accept(waiting.map(({ key }) => key)).then(
      ({ marks, reps }) => this.around.say(acceptedText(marks, reps)),
      (failure: unknown) => this.around.say(messageOf(failure)),
    );
    this.accepting = accepting;
    void accepting.then(() => {
      if (this.accepting === accepting) this.accepting = undefined;
    });
  }

  /** Undo takes back what was accepted last, also while it is still on its way. */
  private afterAccepting(go: () => void): void {
    if (this.accepting) void this.accepting.then(go);
    else go();
  }

  private openReading(): void {
    this.withChosen(({ key, rep }) => {
      this.set({ typing: { key, fresh: false, seen: rep, ...read(rep.reading ? String(rep.reading.value) : "", this.around.pitches()), pitch: rep.pitch } });
    });
  }

  /**
   * Plays the two seconds after the pop of the chosen rep, or of the first without a reading,
   * with the reading field open: the gun's number is often said aloud there. Enter goes on
   * to the next rep without a reading.
   */
  private listen(): void {
    const row = this.chosen() ?? this.ledgerWithoutReading()[0];
    if (!row) return this.around.say("No rep waits for a reading. Choose one to hear it again.");
    this.hear(row);
  }

  /** On to the next rep without a reading, round to the first. */
  private listenOn(after: Key): void {
    const rows = this.around.ledger.rows();
    const at = rows.findIndex((row) => row.key === after);
    const waiting = this.ledgerWithoutReading().filter((row) => row.key !== after);
    const next = waiting.find((row) => rows.indexOf(row) > at) ?? waiting[0];
    if (next) return this.hear(next);
    this.stop();
    this.around.say("Every rep on film has its reading.");
  }

  private ledgerWithoutReading(): Row[] {
    const ready = this.ready();
    return this.around.ledger.rows().filter(({ rep }) => !rep.reading && rep.release !== undefined && ready.some((f) => f.id === rep.filmId && f.hasSound));
  }

  /** Plays it once more while its reading is typed. */
  hearAgain(): void {
    const row = this.chosen();
    if (row && this.state.typing?.byEar) this.playPop(row);
  }

  private hear(row: Row): void {
    const { key, rep } = row;
    const film = this.ready().find((f) => f.id === rep.filmId);
    if (!film || rep.release === undefined) return this.around.say(`Rep ${rep.order} has no release on film, so there is nothing to hear.`);
    if (!film.hasSound) return this.around.say(`The film of rep ${rep.order} has no sound.`);
    if (film.slow !== 1) return this.around.say("This film plays slower than life: no word in its sound can be understood.");
    if (this.state.chosen !== key || this.state.film !== film.id) this.choose(key);
    this.openReading();
    if (this.state.typing) this.set({ typing: { ...this.state.typing, byEar: true } });
    this.playPop(row);
  }

  private playPop({ key, rep }: Row): void {
    void this.around.screen.settled().then(({ film }) => {
      const clock = this.around.clock(film);
      if (!clock || film !== rep.filmId || rep.release === undefined || this.state.typing?.key !== key) return;
      const from = clock.after(rep.release, (rep.popAfter ?? usualPop) - beforePop);
      this.set({ playing: true, looping: false, speed: 1 });
      this.around.screen.play(1, { from, to: clock.after(from, beforePop + heardFor), once: true });
    });
  }

  /** The reading that is being typed, as it would be saved; nothing while there is none, or no other than before. */
  typed(): { rep: Rep | undefined; reading: Reading; pitch: string | undefined } | undefined {
    const { typing } = this.state;
    if (!typing || typing.problem || typing.value === undefined) return undefined;
    const rep = this.around.ledger.row(typing.key)?.rep;
    const reading = this.readingOf(typing, rep);
    const pitch = typing.pitch ?? rep?.pitch;
    return same(reading, rep?.reading) && pitch === rep?.pitch ? undefined : { rep, reading, pitch };
  }

  private readingOf(typing: Typing, rep: Rep | undefined): Reading {
    const gun = this.around.gun();
    const base: Reading = rep?.reading ?? { value: 0, unit: gun.unit, step: gun.step, gun: gun.place };
    return { ...base, value: typing.value!, step: typing.step ?? base.step };
  }

  private fieldsOf(typing: Typing, rep: Rep): Fields {
    const fields: Fields = typing.pitch ? { pitch: typing.pitch as Pitch } : {};
    if (typing.value === undefined) return typing.fresh && !rep.reading ? fields : { ...fields, reading: null };
    return { ...fields, reading: this.readingOf(typing, rep) };
  }

  private remove(): void {
    this.withChosen(({ key, rep }) => {
      const rows = this.around.ledger.rows();
      const at = rows.findIndex((row) => row.key === key);
      this.around.ledger.make({ kind: "remove", rep: key });
      this.set({ chosen: (rows[at + 1] ?? rows[at - 1])?.key, typing: undefined });
      this.around.say(`Rep ${rep.order} is deleted. U brings it back.`);
    });
  }

  /** Takes the last step back, or does it again; shows where, and says what. */
  private went(way: "undo" | "redo"): void {
    const { ledger } = this.around;
    const before = new Map(ledger.rows().map(({ key, rep }) => [key, rep]));
    const step = ledger[way]();
    const last = step.changes[step.changes.length - 1];
    const row = last && ledger.row(last.rep);
    if (row) this.choose(row.key);
    else if (last && this.state.chosen === last.rep) this.set({ chosen: undefined });
    const pitches = this.around.pitches();
    this.around.say(wentText(way === "undo", step, {
      rep: (key) => ledger.row(key)?.rep ?? before.get(key),
      pitch: (code) => pitches.find((p) => p.code === code)?.name ?? code,
    }));
  }

  private playOrStop(): void {
    const { film, frame, speed } = this.state;
    if (!film) return;
    if (this.state.playing) return this.stop();
    const last = (this.around.clock(film)?.frames ?? 1) - 1;
    if (frame >= last) this.around.screen.show(film, 0);
    this.set({ playing: true });
    this.around.screen.play(speed);
  }

  private loop(centre: number): void {
    const clock = this.state.film === undefined ? undefined : this.around.clock(this.state.film);
    if (!clock) return;
    this.set({ playing: true, looping: true });
    this.around.screen.play(this.state.speed, { from: clock.after(centre, -loopBefore), to: clock.after(centre, loopAfter) });
  }

  private loopCentre(): number {
    const rep = this.chosen()?.rep;
    return rep?.filmId === this.state.film && rep?.release !== undefined ? rep.release : this.state.frame;
  }

  private speedBy(by: -1 | 1): void {
    const at = speeds.indexOf(this.state.speed as (typeof speeds)[number]);
    this.setSpeed(speeds[Math.min(Math.max(at - by, 0), speeds.length - 1)]!);
  }

  setSpeed(speed: number): void {
    this.set({ speed });
    if (this.state.looping) this.loop(this.loopCentre());
    else if (this.state.playing) this.around.screen.play(speed);
  }

  private stop(): void {
    if (!this.state.playing) return;
    this.set({ playing: false, looping: false, wanted: this.state.frame });
    this.around.screen.pause();
  }

  private nextRep(by: -1 | 1): void {
    const rows = this.around.ledger.rows();
    if (rows.length === 0) return this.around.say("No rep is logged yet. M marks a release.");
    const at = rows.findIndex((row) => row.key === this.state.chosen);
    const { film, frame } = this.state;
    let to = at + by;
    if (at < 0 && film) {
      const passed = rows.filter(({ rep }) => this.isBefore(rep, film, frame)).length;
      to = by > 0 ? passed : passed - 1;
    }
    const row = rows[Math.min(Math.max(to, 0), rows.length - 1)]!;
    this.choose(row.key);
    this.around.say(sentence(row.rep));
  }

  private nextFilm(by: -1 | 1): void {
    const films = this.ready();
    const at = films.findIndex((f) => f.id === this.state.film);
    const to = films[at + by];
    if (!to) return this.around.say(by > 0 ? "That was the last film." : "That was the first film.");
    this.choose(undefined);
    this.open(to.id);
    this.around.say(`Film ${at + by + 1} of ${films.length}: ${to.name}.`);
  }

  /** The proposals worth going to, in the order of the films. */
  openProposals(): Proposal[] {
    const films = this.ready();
    const place = (p: Proposal) => films.findIndex((f) => f.id === p.filmId);
    // The server may not have said yet that a rep marked just now was one of them.
    const reps = this.around.ledger.rows().map(({ rep }) => rep);
    const logged = (p: Proposal) => reps.some((r) => r.filmId === p.filmId && r.release !== undefined && p.from <= r.release && r.release <= p.to);
    return this.around
      .proposals()
      .filter((p) => p.state === "open" && mayBeRep(p) && place(p) >= 0 && !logged(p))
      .sort((a, b) => place(a) - place(b) || a.release - b.release);
  }

  private nextProposal(by: -1 | 1): void {
    const all = this.openProposals();
    const films = this.ready();
    const place = (id: string | undefined) => films.findIndex((f) => f.id === id);
    const here = place(this.state.film);
    const { wanted } = this.state;
    const isAfter = (p: Proposal) => place(p.filmId) > here || (place(p.filmId) === here && p.release > wanted);
    const isBefore = (p: Proposal) => place(p.filmId) < here || (place(p.filmId) === here && p.release < wanted);
    const on = by > 0 ? all.find(isAfter) : all.filter(isBefore).pop();
    // Beyond the last one it goes round: what was passed over is not lost.
    const to = on ?? (by > 0 ? all[0] : all[all.length - 1]);
    if (!to) return this.around.say("No rep is proposed.");
    if (all.length === 1 && to.filmId === this.state.film && to.release === wanted) this.around.say("This is the only one left.");
    else if (!on) this.around.say(by > 0 ? "That was the last one: round to the first." : "That was the first one: round to the last.");
    this.set({ chosen: undefined, typing: undefined });
    if (to.filmId === this.state.film) this.go(to.release);
    else this.open(to.filmId, to.release);
  }

  private throwOut(): void {
    const here = this.proposalHere();
    if (!here) return this.around.say("There is no proposal at this frame. N goes to the next one.");
    this.around.throwOut(here.id, here.state !== "open");
    this.around.say(here.state === "open" ? "Thrown out: it is no rep. X takes that back." : "Taken back: it is proposed again.");
  }

  /** Whether a film's releases are being found anew from the first one that was marked. */
  private finding(film: string | undefined): boolean {
    if (film === undefined || this.around.givenUp(film)) return false;
    const marked = this.around.ledger.rows().some(({ rep }) => rep.filmId === film && rep.release !== undefined);
    return marked && this.around.proposals().some((p) => p.filmId === film && p.state === "open" && p.rough && mayBeRep(p));
  }

  /** The proposal at the frame asked for, an open one before one that was thrown out. */
  proposalHere(): Proposal | undefined {
    const { film, wanted } = this.state;
    const covers = (p: Proposal) => p.filmId === film && p.from <= wanted && wanted <= p.to;
    return this.openProposals().find(covers) ??
      this.around.proposals().find((p) => p.state === "thrown out" && covers(p)) ??
      this.around.proposals().find((p) => p.state === "open" && !mayBeRep(p) && covers(p));
  }

  /** Yes: the proposal here is a rep, released at the frame on show. The reading comes later. */
  private isRep(): void {
    const here = this.proposalHere();
    if (!here || here.state !== "open" || !mayBeRep(here)) {
      return this.around.say("There is no proposal at this frame. N goes to the next one.");
    }
    if (this.confirming) return;
    if (this.finding(this.state.film)) return this.around.say("The other releases are being found from the one you marked. One moment.");
    this.stop();
    this.confirming = this.markShown(this.around.ledger.newKey())
      .then((key) => {
        this.set({ chosen: key, typing: undefined });
        const row = this.around.ledger.row(key);
        this.onwards(row?.rep.filmId);
      })
      .finally(() => (this.confirming = undefined));
  }

  /** After a new rep: on to the next proposal; or with one film per pitch, on to the next film without one. */
  private onwards(filmId: string | undefined): void {
    const films = this.ready();
    const at = films.findIndex((f) => f.id === filmId);
    if (at < 0) return;
    const isNext = (p: Proposal) => (p.filmId === filmId ? p.release > this.state.wanted : films.findIndex((f) => f.id === p.filmId) > at);
    if (this.openProposals().some(isNext)) return this.nextProposal(1);
    const next = films[at + 1];
    if (!next || films.some((f) => f.seconds > onePitchSeconds)) return;
    if (this.around.ledger.rows().some(({ rep }) => rep.filmId === next.id)) return;
    this.open(next.id);
  }

  private ready(): Film[] {
    return this.around.films().filter((f) => f.steppable);
  }

  private isBefore(rep: Rep, film: string, frame: number): boolean {
    const films = this.ready();
    const place = (id: string | undefined) => films.findIndex((f) => f.id === id);
    const at = rep.release ?? shownAt(rep) ?? Infinity;
    return place(rep.filmId) < place(film) || (rep.filmId === film && at < frame);
  }

  private toggle(fields: (rep: Rep) => Fields): void {
    this.withChosen(({ key, rep }) => this.edit(key, fields(rep)));
  }

  private withChosen(act: (row: Row) => void): void {
    const row = this.chosen();
    if (row) act(row);
    else this.around.say("Choose a rep first: ↑ and ↓ go from rep to rep.");
  }

  private set(change: Partial<RoomState>): void {
    this.state = { ...this.state, ...change };
    this.around.changed();
  }
}

/** A proposal in a few words: what speaks for it, how surely, and how well its release is known. */
export function proposalSentence(p: Proposal): string {
  if (p.state === "thrown out") return "Thrown out: it is no rep.";
  if (p.reason === unexplained) return "Unexplained motion: as much moves here as in a rep, but like none of them; somebody walking by, for instance. If it is a rep after all, mark its release.";
  if (p.reason === walkBack) return "A walk back to the rubber, as after her other reps. If it is a rep after all, mark its release.";
  const release =
    p.rough ? " Its release is rough until one release of this film is marked."
    : p.vague ? " Its release was not surely found: step to it."
    : p.within && p.within > 1 ? ` Its release is found within ${p.within} frames of what the marks say: step to it.`
    : "";
  return `${p.sure ? "Proposed rep" : "Is this a rep?"}: ${p.reason}, ${likely(p.confidence)}.${release}`;
}

function likely(confidence: number): string {
  const words: [number, string][] = [[0.97, "almost certain"], [0.85, "very likely"], [0.65, "likely"], [0.4, "may be one"]];
  return words.find(([least]) => confidence >= least)?.[1] ?? "hardly one";
}

/** The frame that shows a rep best: its release, else any instant marked. */
export function shownAt(rep: Rep): number | undefined {
  return rep.release ?? rep.top ?? rep.plant ?? rep.drive;
}

function acceptedText(marks: number, reps: number): string {
  if (marks === 0) return "Nothing was accepted: what was found there would be out of order.";
  return `${marks} ${marks === 1 ? "instant" : "instants"}${reps > 1 ? ` on ${reps} reps` : ""} accepted. U takes that back.`;
}

/** A rep in a few words. */
export function sentence(rep: Rep): string {
  const reading = rep.reading ? `, ${rep.reading.value} ${rep.reading.unit}` : ", no reading";
  return `Rep ${rep.order}: ${rep.pitchName || "new"}${reading}${rep.judged.verdict ? `, ${rep.judged.verdict}` : ""}.`;
}
