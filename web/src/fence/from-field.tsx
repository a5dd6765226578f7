// Readings that were typed at the fence, and the reps that they found: one yes, or a look
// at each. Nothing counts before that.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { FieldOutcome, FieldLine, FieldStanding, PitchType } from "../api/types";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { many } from "../words/number";
import { pitchName } from "../words/workout";
import { apart, choiceOf, wishesFor, type Choice, type Wish } from "./choice";

interface Props {
  bullpenId: string;
  /** The bullpen's, to look again when it rises. */
  revision: number;
  types: readonly PitchType[];
  refresh: () => void;
  /** Where there is little room: each is looked at on the bullpen's page, and what was joined before is not spoken of. */
  brief?: boolean;
}

export function FromField({ bullpenId, revision, types, refresh, brief }: Props) {
  const [look, setLook] = useState<FieldStanding>();
  const [acted, setActed] = useState(false);
  useEffect(() => {
    let live = true;
    ask("get", "/api/bullpens/{id}/field", { path: { id: bullpenId } }).then((fresh) => live && setLook(fresh), () => undefined);
    return () => void (live = false);
  }, [bullpenId, revision]);
  if (!look || (look.waiting === 0 && (look.joined === 0 || (brief && !acted)))) return null;

  const does = async (asked: Promise<FieldStanding>, done: (look: FieldStanding) => string) => {
    try {
      const now = await asked;
      setActed(true);
      setLook(now);
      say(done(now));
    } catch (failure) {
      say(sentenceOf(failure), true);
    }
    refresh();
  };
  const path = { id: bullpenId };
  const join = async (way: number, { entries, alone, aside }: Choice) => {
    if (entries.length + alone.length > 0) {
      await does(
        ask("post", "/api/bullpens/{id}/field/join", { path, body: { revision: look.revision, way, entries, alone } }),
        () => `${many(entries.length + alone.length, "rep", "reps")} took what was typed at the fence. Undo stands here.`,
      );
    }
    if (aside.length > 0) await does(ask("post", "/api/bullpens/{id}/field/aside", { path, body: { entries: aside } }), () => `${many(aside.length, "reading", "readings")} set aside.`);
  };
  const undo = () =>
    does(ask("post", "/api/bullpens/{id}/field/undo", { path }), ({ kept }) => (kept ? `Undone, but for ${many(kept, "rep", "reps")} changed since.` : "Undone: the reps are as they were."));
  return (
    <section class="card from-field" aria-labelledby="from-field">
      <h2 id="from-field" class={brief ? "sr-only" : ""}>From the field</h2>
      {look.waiting > 0 && <Waiting key={look.outcomes.map((l) => l.chance).join(" ")} look={look} bullpenId={bullpenId} types={types} join={join} brief={brief ?? false} />}
      {look.joined > 0 && (
        <div class="row">
          <p>{many(look.joined, "rep", "reps")} took what was typed at the fence.</p>
          <button type="button" class="button" onClick={() => void undo()}>Undo</button>
        </div>
      )}
    </section>
  );
}

interface WaitingProps {
  look: FieldStanding;
  bullpenId: string;
  types: readonly PitchType[];
  join: (way: number, choice: Choice) => Promise<void>;
  brief: boolean;
}

function Waiting({ look, bullpenId, types, join, brief }: WaitingProps) {
  const [chosen, setChosen] = useState(look.outcomes.length === 1 || look.sure ? 0 : -1);
  const [each, setEach] = useState(false);
  const [wishes, setWishes] = useState<Record<string, Wish>>({});
  const [busy, setBusy] = useState(false);
  if (look.looking) return <p role="status">{many(look.waiting, "reading", "readings")} from the field: their reps are being looked for …</p>;
  if (look.outcomes.length === 0) return <p>{many(look.waiting, "reading", "readings")} from the field {look.waiting === 1 ? "waits" : "wait"} until reps are found on the film.</p>;

  const asked = look.outcomes.length > 1 && !look.sure;
  const outcome = look.outcomes[chosen];
  const choice = outcome && choiceOf(outcome, wishes);
  const n = choice ? choice.entries.length + choice.alone.length + choice.aside.length : 0;
  const yes = async () => {
    if (!choice) return;
    setBusy(true);
    await join(chosen, choice);
    setBusy(false);
  };
  if (brief && asked) return <p><b>{many(look.waiting, "reading", "readings")} from the field: more than one way fits.</b> <Link to={to.bullpen(bullpenId)}>Say which</Link></p>;
  return (
    <>
      {!asked && <p><b>{look.headline}</b></p>}
      {look.why && <p>{look.why}</p>}
      {asked && <Ways outcomes={look.outcomes} types={types} chosen={chosen} choose={(i) => (setWishes({}), setChosen(i))} />}
      {each && outcome && <Each outcome={outcome} bullpenId={bullpenId} types={types} wishes={wishes} wish={(id, w) => setWishes({ ...wishes, [id]: w })} />}
      <div class="row">
        <button type="button" class={`button${n > 0 ? " primary" : ""}`} disabled={n === 0 || busy} onClick={() => void yes()}>
          {n === 0 || !choice ? "Yes" : choice.aside.length === n ? `Set ${n === 1 ? "it" : n} aside` : `Yes, ${many(choice.entries.length + choice.alone.length, "rep", "reps")}`}
        </button>
        {brief
          ? <Link class="button" to={to.bullpen(bullpenId)}>Look at each</Link>
          : <button type="button" class="button" aria-expanded={each} disabled={!outcome} onClick={() => setEach(!each)}>Look at each</button>}
      </div>
    </>
  );
}

/** Two or three ways, each by the first readings that tell it from the others. */
function Ways({ outcomes, types, chosen, choose }: { outcomes: readonly FieldOutcome[]; types: readonly PitchType[]; chosen: number; choose: (i: number) => void }) {
  const differing = apart(outcomes);
  return (
    <fieldset class="fieldset ways">
      <legend>More than one way fits: which throw is which reading’s?</legend>
      {outcomes.map((_, i) => (
        <label key={i} class="way">
          <input type="radio" name="way" checked={chosen === i} onChange={() => choose(i)} />
          <span>{differing[i]!.map((line) => <span key={line.id} class="way-line">{typedText(line, types)}: {placeText(line) || "no throw"}</span>)}</span>
        </label>
      ))}
    </fieldset>
  );
}

const wishText: Record<Wish, string> = { join: "joins", alone: "becomes a rep of its own", aside: "is of no use", wait: "waits" };

function Each({ outcome, bullpenId, types, wishes, wish }: { outcome: FieldOutcome; bullpenId: string; types: readonly PitchType[]; wishes: Readonly<Record<string, Wish>>; wish: (id: string, wish: Wish) => void }) {
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label="Each reading">
      <table class="each-reading">
        <thead><tr><th scope="col">typed</th><th scope="col">throw</th><th scope="col">what becomes of it</th></tr></thead>
        <tbody>
          {outcome.lines.map((line) => {
            const offered = wishesFor(line);
            const where = placeText(line);
            return (
              <tr key={line.id}>
                <th scope="row">{typedText(line, types)}</th>
                <td>{line.repId ? <Link to={to.filmRoom(bullpenId, line.repId)}>{where}</Link> : where || "–"}{noteText(line, types)}</td>
                <td>
                  {offered.length === 0 ? "is in the ledger" : (
                    <select class="input" aria-label={`What becomes of ${typedText(line, types)}`} value={wishes[line.id] ?? offered[0]} onChange={(e) => wish(line.id, e.currentTarget.value as Wish)}>
                      {offered.map((w) => <option key={w} value={w}>{wishText[w]}</option>)}
                    </select>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {outcome.unread.map((u) => <p key={u.place} class="quiet">The throw {filmTime(u.seconds)} has no reading.</p>)}
    </div>
  );
}

/** "55 mph fastball, strike, 10:14:05". */
function typedText(line: FieldLine, types: readonly PitchType[]): string {
  const read = line.value === undefined ? "no reading" : `${line.value} ${line.unit}`;
  return [`${read} ${pitchName(types, line.pitch)}`, line.call, new Date(line.at / 1000).toLocaleTimeString("en-GB")].filter(Boolean).join(", ");
}

function placeText(line: FieldLine): string {
  if (line.place === undefined) return "";
  const at = filmTime(line.seconds ?? 0);
  return line.order ? `rep ${line.order}, ${at}` : `throw ${line.place}, ${at}`;
}

function noteText(line: FieldLine, types: readonly PitchType[]): string {
  if (line.fate === "stays" && line.read) return `: ${line.read.value} ${line.read.unit} was typed in the film room and stays`;
  if (line.logged && line.logged !== line.pitch && line.fate !== "is joined") return `: logged as ${pitchName(types, line.logged)}`;
  return "";
}

/** "at 1:42", on its film. */
const filmTime = (seconds: number) => `at ${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
