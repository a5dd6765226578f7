// Many readings at once: typed in a run or pasted as a column, matched to the reps
// in order and shown before anything is saved.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { ReadingPairs } from "../api/types";
import { Dialog } from "../parts/dialog";
import { say } from "../shell/say";
import { same } from "./core/change";
import { adviceText, askedText, askedTogether, buttonText, countsText, enteredText } from "./core/column";
import { isConflict, messageOf, type Run } from "./core/ledger";
import { useOffice } from "./office";

/** How long typing rests before the pairs are asked for. */
const rest = 200;

export function ColumnDialog({ onClose }: { onClose: () => void }) {
  const office = useOffice();
  const { ledger, sheet } = office;
  const [text, setText] = useState("");
  /** From the first place where nothing is replaced. */
  const [shift, setShift] = useState(0);
  const filmed = office.films.length > 0;
  /** Without any film a reading is a rep; with film, only who says so gets reps that are not on it. */
  const [newReps, setNewReps] = useState(!filmed);
  /** A run that is sent again, because its answer was lost, is sent under the same name. */
  const key = useMemo(() => ledger.newKey(), [text, shift, newReps]);
  const [found, setFound] = useState<ReadingPairs>();
  const [problem, setProblem] = useState("");
  /** Why the run was not saved when it was sent. */
  const [refused, setRefused] = useState("");
  const sending = useRef(false);
  /** To be saved as soon as the pairs are there. */
  const hurry = useRef(false);
  const pressed = useRef(false);

  useEffect(() => {
    setFound(undefined);
    setProblem("");
    setRefused("");
    hurry.current = false;
    if (text.trim() === "") return;
    const stop = new AbortController();
    const timer = setTimeout(() => {
      pairsOf(sheet.bullpen.id, { text, shift, newReps, free: true }, stop.signal).then(
        setFound,
        (failure: unknown) => stop.signal.aborted || setProblem(sentenceOf(failure)),
      );
    }, rest);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [text, shift, newReps, sheet.bullpen.id]);

  useEffect(() => {
    if (hurry.current && fitting(found) > 0) save();
  }, [found]);

  const save = () => {
    if (!found) return void (hurry.current = true);
    if (fitting(found) === 0) return;
    if (sending.current) return;
    sending.current = true;
    hurry.current = false;
    setRefused("");
    enter(found).then(
      (done) => {
        say(enteredText(done));
        onClose();
      },
      (failure: unknown) => setRefused(messageOf(failure)),
    ).finally(() => (sending.current = false));
  };
  /** All of them or none. When the bullpen has moved on, but not so that the pairs are others, they go in all the same. */
  const enter = async (seen: ReadingPairs): Promise<{ changed: number; logged: number }> => {
    if (ledger.saving.state === "clash") throw { message: "Two windows disagree about a rep; end that on the ledger first." };
    try {
      return await ledger.enter({ text, shift: seen.shift, newReps, key }, seen.revision);
    } catch (failure) {
      if (!isConflict(failure)) throw failure;
      const now = await pairsOf(sheet.bullpen.id, { text, shift: seen.shift, newReps });
      setFound(now);
      if (!same(now.pairs, seen.pairs) || now.revision === seen.revision) throw failure;
      return enter(now);
    }
  };
  const name = (code: string | undefined) => office.pitchTypes.find((t) => t.code === code)?.name ?? "";
  const together = found ? askedTogether(found) : [];

  return (
    <Dialog title="Many readings at once" wide onClose={onClose}>
      <p class="quiet">Type a run such as “55 fb 47 ch 46 ch”, paste a column, or paste a CSV with a heading. They go to the reps in the order thrown, from the first place where they replace nothing; shift up to replace. Spaces may be left out (“55f47c”), and a pitch that the ledger has already.</p>
      <label class="field">
        <span>Readings</span>
        <textarea
          class="input" rows={4} data-first value={text} spellcheck={false}
          onInput={(event) => setText(event.currentTarget.value)}
          onKeyPress={(event) => {
            // The key that opened the window, still going down, is not for the field.
            if (!pressed.current) event.preventDefault();
          }}
          onKeyDown={(event) => {
            pressed.current = true;
            if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) {
              event.preventDefault();
              return save();
            }
            if (!event.altKey || (event.key !== "ArrowUp" && event.key !== "ArrowDown")) return;
            event.preventDefault();
            setShift((n) => n + (event.key === "ArrowDown" ? 1 : -1));
          }}
        />
      </label>
      <div class="row">
        <button type="button" class="button" onClick={() => setShift((n) => n - 1)}>Shift up <kbd>Alt</kbd> <kbd>↑</kbd></button>
        <button type="button" class="button" onClick={() => setShift((n) => n + 1)}>Shift down <kbd>Alt</kbd> <kbd>↓</kbd></button>
        <label class="button file-button">
          CSV file
          <input type="file" class="sr-only" accept=".csv,.txt,.tsv,text/csv,text/plain" onChange={(event) => void event.currentTarget.files?.[0]?.text().then(setText)} />
        </label>
        <label class="check">
          <input type="checkbox" checked={newReps} onChange={(event) => setNewReps(event.currentTarget.checked)} />
          New reps for readings without one
        </label>
        <p role="status">{found ? countsText(found) : ""}</p>
      </div>
      {found && adviceText(found, filmed) && <p class="notice">{adviceText(found, filmed)}</p>}
      {together.map((sentence) => <p key={sentence} class="notice alarm" role="status">{sentence}</p>)}
      {(problem || refused) && <p class="notice alarm" role="alert">{problem || refused}</p>}
      {found && found.pairs.length > 0 && (
        <div class="pairs" tabIndex={0} role="region" aria-label="Pairs">
          <table>
            <thead><tr><th scope="col">rep</th><th scope="col">reading</th><th scope="col">pitch</th><th scope="col">until now</th><th scope="col">remark</th></tr></thead>
            <tbody>
              {found.pairs.map((pair, i) => (
                <tr key={i} class={pair.new || (pair.repId && (pair.reading || keeps(pair))) ? "" : "alone"}>
                  <th scope="row">{pair.new ? "new rep" : pair.order || "no rep"}</th>
                  <td>{keeps(pair) ? <span class="quiet">keeps its own</span> : <b>{pair.reading ? `${pair.reading.value} ${pair.reading.unit}` : "none"}</b>}</td>
                  <td>{name(pair.pitch)}</td>
                  <td>{pair.before ? `${pair.before.value} ${pair.before.unit}` : ""}</td>
                  <td>{pair.doubt ? <span class="problem">{together.includes(pair.doubt) ? "sure?" : pair.doubt}</span> : !pair.repId && !pair.new ? "left over: there is no rep for it" : ""}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <footer>
        <p class="problem" role="status">{found ? askedText(found) : ""}</p>
        <button type="button" class="button" onClick={onClose}>Cancel</button>
        <button type="button" class="button primary" disabled={fitting(found) === 0} onClick={save}>{buttonText(found)} <kbd>Ctrl</kbd> <kbd>Enter</kbd></button>
      </footer>
    </Dialog>
  );
}

/** The readings laid beside the reps, free: from where they replace nothing; nothing is saved. */
function pairsOf(bullpenId: string, run: Omit<Run, "key"> & { free?: boolean }, signal?: AbortSignal): Promise<ReadingPairs> {
  return ask("post", "/api/bullpens/{id}/readings", { path: { id: bullpenId }, body: { ...run, dryRun: true }, ...(signal ? { signal } : {}) });
}

/** A rep that nothing is typed for, and that has its reading. */
const keeps = (pair: ReadingPairs["pairs"][number]) => Boolean(pair.repId && pair.before && !pair.reading);

/** How many readings have a rep, old or new. */
const fitting = (found: ReadingPairs | undefined) => (found ? found.matched + found.new : 0);
