// Film dropped anywhere begins the work: on a bullpen's screens it goes into that
// bullpen, anywhere else it asks whose bullpen it is.
import { createContext, type ComponentChildren } from "preact";
import { useContext, useEffect, useRef, useState } from "preact/hooks";
import { navigate } from "../shell/router";
import { to } from "../shell/routes";
import { guardLeaving, uploads } from "./desk";
import { NewBullpen } from "./new-bullpen";

/** Starts a bullpen, with or without films; or adds films to one. */
export interface Intake {
  newBullpen(pitcherId?: string): void;
  add(files: readonly File[], bullpenId?: string): void;
}

const IntakeContext = createContext<Intake>({ newBullpen: () => {}, add: () => {} });

export const useIntake = (): Intake => useContext(IntakeContext);

/** What a file chooser should offer: films by any name a phone gives them. */
export const filmKinds = "video/*,.mov,.mp4,.m4v,.3gp,.3g2,.mkv,.webm,.avi,.ts,.mts,.m2ts";

interface Props {
  /** The bullpen on screen, if any. */
  bullpenId: string | undefined;
  children: ComponentChildren;
}

export function IntakePlace({ bullpenId, children }: Props) {
  const [over, setOver] = useState(false);
  const [starting, setStarting] = useState<{ files: readonly File[]; pitcherId?: string }>();
  const here = useRef(bullpenId);
  here.current = bullpenId;

  const intake = useRef<Intake>({
    newBullpen: (pitcherId) => setStarting({ files: [], ...(pitcherId ? { pitcherId } : {}) }),
    add: (files, into) => {
      if (files.length === 0) return;
      if (into) uploads.add(into, files);
      else setStarting({ files });
    },
  }).current;

  useEffect(() => {
    guardLeaving();
    const carries = (event: DragEvent) => event.dataTransfer?.types.includes("Files") ?? false;
    const drag = (event: DragEvent) => {
      if (!carries(event)) return;
      event.preventDefault();
      setOver(true);
    };
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false);
    };
    const drop = (event: DragEvent) => {
      if (!carries(event)) return;
      event.preventDefault();
      setOver(false);
      intake.add([...(event.dataTransfer?.files ?? [])], here.current);
    };
    addEventListener("dragenter", drag);
    addEventListener("dragover", drag);
    addEventListener("dragleave", leave);
    addEventListener("drop", drop);
    return () => {
      removeEventListener("dragenter", drag);
      removeEventListener("dragover", drag);
      removeEventListener("dragleave", leave);
      removeEventListener("drop", drop);
    };
  }, [intake]);

  const made = (id: string) => {
    const files = starting?.files ?? [];
    setStarting(undefined);
    uploads.add(id, files);
    navigate(to.filmRoom(id));
  };

  return (
    <IntakeContext.Provider value={intake}>
      {children}
      {over && (
        <div class="drop-here" aria-hidden="true">
          <p>{bullpenId ? "Let go to add the film to this bullpen" : "Let go to begin with this film"}</p>
        </div>
      )}
      {starting && <NewBullpen {...starting} onMade={made} onClose={() => setStarting(undefined)} />}
    </IntakeContext.Provider>
  );
}

/** A button that opens the file chooser. */
export function PickFilms({ bullpenId, primary, children }: { bullpenId?: string; primary?: boolean; children: ComponentChildren }) {
  const intake = useIntake();
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" class={`button${primary ? " primary" : ""}`} onClick={() => input.current?.click()}>{children}</button>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        accept={filmKinds}
        aria-label="Films"
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          event.currentTarget.value = "";
          intake.add(files, bullpenId);
        }}
      />
    </>
  );
}
