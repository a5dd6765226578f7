// The film room: where a bullpen's film is marked.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { PitchType, Sheet } from "../api/types";
import { useSheet } from "../api/use-sheet";
import { FromField } from "../fence/from-field";
import { Delivery } from "./delivery";
import { DrawingTools } from "./drawing-tools";
import { ReplyPanel } from "./reply-panel";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText } from "../words/speed";
import { BodyBar } from "./body-bar";
import { ClipsBar, WatchDialog } from "./clips";
import { ColumnDialog } from "./column-dialog";
import { actionOf } from "./core/keys";
import type { Errand } from "./core/room";
import { FilmPicker, FilmsNotReady, NoFilm } from "./film-bar";
import { FilmOrder } from "./film-order";
import { FilmsDialog } from "./films-dialog";
import { FrameStrip } from "./frame-strip";
import { HelpDialog } from "./help-dialog";
import { LedgerTable } from "./ledger-table";
import { Office, OfficePlace, useOffice } from "./office";
import { Picture } from "./picture";
import { openRest } from "./rep-details";
import { NextStep, leftIn } from "./next-step";
import { RepBoard } from "./rep-board";
import { RepPanel } from "./rep-panel";
import { RoomMenu } from "./room-menu";
import { SavingState } from "./saving";
import { Timeline, type TimelineHandle } from "./timeline";
import { hint } from "./hint";
import { Transport } from "./transport";
import { useWatched } from "./watch";

export function FilmRoomScreen({ bullpenId, repId }: { bullpenId: string; repId?: string }) {
  const { sheet, problem, refresh } = useSheet(bullpenId);
  const [pitchTypes, setPitchTypes] = useState<readonly PitchType[]>();
  const [failed, setFailed] = useState("");
  const office = useRef<Office | undefined>(undefined);

  useEffect(() => {
    ask("get", "/api/pitch-types").then(
      (answer) => setPitchTypes(answer.pitchTypes),
      (failure: unknown) => setFailed(sentenceOf(failure)),
    );
    return () => office.current?.close();
  }, []);

  const trouble = failed || (sheet ? "" : problem);
  if (trouble) {
    return (
      <div class="notice alarm" role="alert">
        <h1>The film room can’t be opened</h1>
        <p>{trouble}</p>
      </div>
    );
  }
  if (!sheet || !pitchTypes) return <p class="quiet opening">The film room opens …</p>;
  office.current ??= new Office(sheet, pitchTypes, refresh);
  return <OpenRoom office={office.current} sheet={sheet} {...(repId ? { repId } : {})} />;
}

function OpenRoom({ office, sheet, repId }: { office: Office; sheet: Sheet; repId?: string }) {
  const { room } = office;
  const [errand, setErrand] = useState<Errand>();
  const stage = useRef<HTMLElement>(null);
  const timeline = useRef<TimelineHandle | undefined>(undefined);

  useLayoutEffect(() => office.adopt(sheet), [office, sheet]);
  useLayoutEffect(() => {
    document.title = `${sheet.pitcher.label}, ${dayText(sheet.bullpen.day)}: film room, tenoff`;
    room.begin(repId);
    stage.current?.focus({ preventScroll: true });
  }, [office]);

  office.errand = (asked) => {
    if (typeof asked === "object") return office.view.look(asked);
    switch (asked) {
      case "lineCloser":
        return timeline.current?.zoom(1);
      case "lineWider":
        return timeline.current?.zoom(-1);
      case "wholeLine":
        return timeline.current?.whole();
      case "traces":
        return office.toggleTraces();
      case "loupe":
        return office.view.toggleLoupe();
      case "drill":
      case "note":
        return openRest(asked);
      case "clips":
        return office.makeClips();
      case "find":
        return office.findInstants();
      case "draw":
        return office.board.toggle();
      case "joints":
        return office.joints.toggle();
      case "leftOut":
        return office.shift(1);
      case "repeats":
        return office.shift(-1);
      case "reply": {
        const words = document.querySelector<HTMLElement>("[data-reply]");
        if (words) words.focus();
        else say("This bullpen is no homework, so nobody waits for a reply.");
        return undefined;
      }
      case "watch": {
        const rep = room.chosen()?.rep;
        if (rep && office.clipOf(rep.id)?.state === "ready") setErrand(asked);
        else say("This rep has no clip yet. C makes the clips of all reps.");
        return undefined;
      }
      default:
        return setErrand(asked);
    }
  };

  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      if (event.defaultPrevented || isBusy(event)) return;
      if (!event.ctrlKey && !event.metaKey && !event.altKey && office.board.press(event.key, event.shiftKey)) return event.preventDefault();
      const action = actionOf(event, event.repeat);
      if (!action) return;
      event.preventDefault();
      room.act(action);
    };
    const leaving = (event: BeforeUnloadEvent) => {
      if (office.ledger.unsaved > 0) event.preventDefault();
    };
    addEventListener("keydown", pressed);
    addEventListener("beforeunload", leaving);
    return () => {
      removeEventListener("keydown", pressed);
      removeEventListener("beforeunload", leaving);
    };
  }, [office]);

  // The keyboard goes back to the picture when the reading field closes.
  const typing = useWatched(office.changes, () => room.state.typing !== undefined);
  const typed = useRef(false);
  useLayoutEffect(() => {
    if (typed.current && !typing) stage.current?.focus({ preventScroll: true });
    typed.current = typing;
  }, [typing]);

  const film = useWatched(office.changes, () => office.film?.id);
  const left = useWatched(office.changes, () => leftIn(office));
  const close = () => setErrand(undefined);
  const chosen = room.chosen()?.rep;
  const clip = chosen && office.clipOf(chosen.id);
  return (
    <OfficePlace value={office}>
      <header class="room-head">
        <div class="room-title">
          <p class="over">{sheet.pitcher.label}, {dayText(sheet.bullpen.day)}{sheet.bullpen.title && `, ${sheet.bullpen.title}`}</p>
          <h1>{left || "Film room"}</h1>
        </div>
        {film && <FilmPicker />}
        <Link class="to-bullpen" to={to.bullpen(sheet.bullpen.id)}>Bullpen</Link>
        <RoomMenu />
      </header>
      <div class="room">
        <section class="stage" ref={stage} tabIndex={-1} aria-label="Film">
          {film ? <><Timeline handle={timeline} /><Picture /><DrawingTools /><FrameStrip /><Delivery /><Transport /></> : <NoFilm />}
          <FilmOrder />
          <FilmsNotReady />
        </section>
        <div class="beside">
          <RepBoard />
          <ReadingsFromTheField />
          <NextStep />
          <RepPanel />
          <section class="ledger-place" aria-label="Ledger of this bullpen">
            <div class="row ledger-head">
              <h2>Ledger</h2>
              <SavingState />
              <Undo />
            </div>
            <LedgerTable />
          </section>
        </div>
      </div>
      <div class="beyond">
        <BodyBar />
        <div class="beyond-beside">
          <ClipsBar />
          <ReplyPanel />
        </div>
      </div>
      {errand === "help" && <HelpDialog onClose={close} />}
      {errand === "about" && <FilmsDialog onClose={close} />}
      {errand === "column" && <ColumnDialog onClose={close} />}
      {errand === "watch" && clip && <WatchDialog clip={clip} onClose={close} />}
    </OfficePlace>
  );
}

/** Those that wait for their reps. */
function ReadingsFromTheField() {
  const office = useOffice();
  const { bullpen, revision } = useWatched(office.changes, () => office.sheet);
  return <FromField bullpenId={bullpen.id} revision={revision} types={office.pitchTypes} refresh={() => undefined} brief />;
}

function Undo() {
  const office = useOffice();
  const can = useWatched(office.changes, () => office.ledger.history.canUndo);
  return <button type="button" class="button" disabled={!can} title={hint("Undo", { do: "undo" })} onClick={() => office.room.act({ do: "undo" })}>Undo <kbd>U</kbd></button>;
}

/** True while a key belongs to what has the focus: a field, a button, an open window. */
function isBusy(event: KeyboardEvent): boolean {
  const at = event.target instanceof Element ? event.target : undefined;
  if (document.querySelector("dialog[open]")) return true;
  if (at?.closest("input, textarea, select, [contenteditable]")) return true;
  return (event.key === "Enter" || event.key === " ") && at?.closest("button, a, summary") != null;
}
