// Everything one open film room holds together: the room, its ledger, its picture,
// and what the server last said. One is made per visit.
import { createContext } from "preact";
import { useContext } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Box, Bullpen, Clip, Film, PitchType, Sheet } from "../api/types";
import type { FrameClock } from "../player/clock";
import { Board } from "../drawing/board";
import { say } from "../shell/say";
import { pitchName } from "../words/workout";
import { placeText } from "./planned";
import { bodyIsKnown } from "../words/body";
import { deskOf } from "./desk";
import { JointsLayer } from "../player/joints";
import { Ledger } from "./core/ledger";
import { Room, type Errand, type Gun } from "./core/room";
import { Projector } from "./projector";
import { Telling } from "./telling";
import { View } from "./view";

export class Office {
  private readonly telling = new Telling(() => this.joints.on);
  /** Tells when the room's or the ledger's state changed. */
  readonly changes = this.telling.all;
  /** Tells it to what names the frame on show or lies over it, before everything else. */
  readonly onShow = this.telling.onShow;
  readonly room: Room;
  readonly ledger: Ledger;
  readonly projector: Projector;
  readonly board: Board;
  readonly view: View;
  readonly joints = new JointsLayer(() => this.changes.tell());
  errand: (errand: Errand) => void = () => {};
  /** Why there is no picture, in one sentence. */
  dark = "";
  /** Whether motion and sound are shown under the line of reps. */
  traces = false;
  /** Whether the pitcher's box is shown, to be put right. */
  boxing = false;

  constructor(
    public sheet: Sheet,
    public pitchTypes: readonly PitchType[],
    private readonly refresh: () => void,
  ) {
    const { tell } = this.changes;
    this.view = new View(tell, () => {
      const box = this.film?.box ?? this.film?.foundBox;
      return box ? { x: box.x + box.width / 2, y: box.y + box.height / 2 } : { x: 0.5, y: 0.5 };
    });
    this.projector = new Projector({
      painted: (film, frame) => {
        this.dark = "";
        this.room.painted(film, frame);
      },
      stopped: () => this.room.stopped(),
      clocked: tell,
      failed: (sentence) => {
        this.dark = sentence;
        tell();
      },
    });
    this.ledger = new Ledger(
      deskOf(sheet.bullpen.id, refresh),
      () => {
        if (this.ledger.problem) say(this.ledger.problem, true);
        tell();
      },
      (film) => this.films.findIndex((f) => f.id === film),
    );
    this.ledger.adopt(sheet.revision, sheet.reps);
    this.room = new Room({
      screen: this.projector,
      ledger: this.ledger,
      films: () => this.films,
      proposals: () => this.sheet.proposals,
      throwOut: (id, back) => this.does(ask("post", back ? "/api/proposals/{id}/take-back" : "/api/proposals/{id}/throw-out", { path: { id } })),
      givenUp: (film) => this.sheet.jobs.some((j) => j.kind === "find reps" && j.subject === film && (j.state === "failed" || j.state === "cancelled")),
      clock: (film) => this.projector.clock(film),
      pitches: () => this.pitchTypes,
      gun: () => this.gun,
      planned: () => this.sheet.plan !== undefined,
      changed: () => this.telling.room(this.room.state),
      say,
      errand: (errand) => this.errand(errand),
    });
    this.board = new Board(
      () => {
        const { film, frame, wanted, painted, playing } = this.room.state;
        const rep = this.room.chosen()?.rep;
        const size = this.film ?? { width: 16, height: 9 };
        return { place: film && rep && rep.version > 0 && rep.filmId === film ? { repId: rep.id, frame } : undefined, size, coming: !playing && !(painted && frame === wanted) };
      },
      tell,
      say,
    );
    this.onShow.watch(() => this.board.follow());
  }

  toggleTraces(): void {
    this.traces = !this.traces;
    this.changes.tell();
  }

  /** Moves the chosen rep, and those after it, along the workout of a homework. */
  shift(by: -1 | 1): void {
    const rep = this.room.chosen()?.rep;
    if (!this.sheet.plan) return say("This bullpen is no homework, so there is no workout to move along.");
    if (!this.sheet.plan.reps.some((l) => l.repId === rep?.id)) return say("This rep is not numbered along the workout.");
    this.does(
      ask("post", "/api/reps/{id}/shift", { path: { id: rep!.id }, body: { by } }).then(({ plan }) => {
        const place = plan.places[plan.reps.find((l) => l.repId === rep!.id)?.place ?? -1];
        say(place ? `Now ${placeText(plan.places, place, (code) => pitchName(this.pitchTypes, code))}. Those after it moved along.` : "Now beyond the workout.");
      }),
    );
  }

  /** Takes what the server says now. */
  adopt(sheet: Sheet): void {
    const before = new Map(this.films.map((f) => [f.id, f]));
    this.sheet = sheet;
    for (const film of sheet.films) {
      const was = before.get(film.id);
      if (was && film.state === "ready" && was.state !== "ready") void this.projector.swap(film.id);
      else if (film.state === "reading" && !film.steppable) this.projector.lost(film.id);
      else if (film.state === "reading") void this.projector.follow(film.id);
      if (was && was.slow !== film.slow && !(film.state === "ready" && was.state !== "ready")) void this.projector.reclock(film.id);
    }
    this.ledger.adopt(sheet.revision, sheet.reps);
    this.openFirst();
    this.changes.tell();
  }

  /** Opens a film once there is one, and never leaves a film that is gone on show. */
  openFirst(): void {
    const open = this.films.filter((f) => f.steppable);
    if (open.some((f) => f.id === this.room.state.film)) return;
    const [first] = open;
    if (first) this.room.open(first.id);
  }

  get films(): readonly Film[] {
    return this.sheet.films;
  }

  get film(): Film | undefined {
    return this.films.find((f) => f.id === this.room.state.film);
  }

  get clock(): FrameClock | undefined {
    return this.room.state.film === undefined ? undefined : this.projector.clock(this.room.state.film);
  }

  get gun(): Gun {
    const { gun, unit, step } = this.sheet.bullpen;
    return { place: gun, unit, step };
  }

  /** The clip that shows one rep alone. */
  clipOf(repId: string): Clip | undefined {
    return this.sheet.clips.find((c) => c.kind === "single" && c.repIds[0] === repId);
  }

  /** Changes what new readings are taken with. */
  editBullpen(fields: Partial<Pick<Bullpen, "gun" | "unit" | "step" | "note" | "title" | "day">>): void {
    const { id, version } = this.sheet.bullpen;
    this.does(ask("patch", "/api/bullpens/{id}", { path: { id }, body: { ...fields, version } }));
  }

  editFilm(film: Film, fields: Partial<Pick<Film, "slow" | "view" | "position" | "soundLate"> & { box: Box | null; alike: boolean; all: boolean }>): void {
    this.does(ask("patch", "/api/films/{id}", { path: { id: film.id }, body: { ...fields, version: film.version } }));
  }

  removeFilm(film: Film): void {
    this.does(ask("delete", "/api/films/{id}", { path: { id: film.id }, query: { version: film.version } }));
  }

  /** Whether clips show what was drawn; until somebody says so, as those that there are. */
  get drawings(): boolean {
    return this.drawn ?? this.sheet.clips.some((c) => c.kind === "single" && c.drawings);
  }

  set drawings(wanted: boolean) {
    this.drawn = wanted;
    this.changes.tell();
  }

  private drawn: boolean | undefined;

  /** Likewise whether they show how her trunk and hips lie. */
  get lines(): boolean {
    return this.lined ?? this.sheet.clips.some((c) => c.kind === "single" && c.lines);
  }

  set lines(wanted: boolean) {
    this.lined = wanted;
    this.changes.tell();
  }

  private lined: boolean | undefined;

  makeClips(repIds?: string[]): void {
    const asked = ask("post", "/api/bullpens/{id}/clips", {
      path: { id: this.sheet.bullpen.id },
      body: { ...(repIds ? { repIds } : {}), options: { body: bodyIsKnown(this.sheet.reps), drawings: this.drawings, lines: this.lines } },
    });
    this.does(
      asked.then(({ clips, left }) => {
        const under = clips.filter((c) => c.state === "queued" || c.state === "rendering").length;
        const made = under === 0 ? "Every clip is up to date." : `${under} ${under === 1 ? "clip is" : "clips are"} being made.`;
        say([made, ...left.slice(0, 2)].join(" "));
      }),
    );
  }

  /** Has the instants looked for in the other reps. */
  findInstants(): void {
    this.does(
      ask("post", "/api/bullpens/{id}/instants/find", { path: { id: this.sheet.bullpen.id } }).then(() => say("The instants are looked for in the other reps.")),
    );
  }

  setBoxing(open: boolean): void {
    this.boxing = open;
    this.changes.tell();
  }

  cancelJob(id: string): void {
    this.does(ask("post", "/api/jobs/{id}/cancel", { path: { id } }));
  }

  retryJob(id: string): void {
    this.does(ask("post", "/api/jobs/{id}/retry", { path: { id } }));
  }

  close(): void {
    this.telling.close();
    this.projector.close();
  }

  private does(work: Promise<unknown>): void {
    work.catch((failure: unknown) => say(sentenceOf(failure), true)).finally(this.refresh);
  }
}

const OfficeContext = createContext<Office | undefined>(undefined);
export const OfficePlace = OfficeContext.Provider;

export function useOffice(): Office {
  const office = useContext(OfficeContext);
  if (!office) throw new Error("This part belongs into a film room.");
  return office;
}
