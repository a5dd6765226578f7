// "Can she throw it on Saturday?": the instructor's own rule, line by line, with
// the reps that made or broke each line.
import { useCallback, useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Pitch, PitchType, TrustAnswer, TrustLine } from "../api/types";
import { act } from "../shell/act";
import { Dialog } from "../parts/dialog";
import { Link } from "../shell/router";
import { say } from "../shell/say";
import { to } from "../shell/routes";
import { numberOf } from "../words/number";

/** How many of the reps that made or broke a line are named. */
const shown = 8;

export function Trust({ pitcherId, types, revision }: { pitcherId: string; types: PitchType[]; revision: unknown }) {
  const [answer, setAnswer] = useState<TrustAnswer>();
  const [problem, setProblem] = useState("");
  const [editing, setEditing] = useState(false);
  const refresh = useCallback(() => {
    ask("get", "/api/pitchers/{id}/trust", { path: { id: pitcherId } }).then(setAnswer, (f) => setProblem(sentenceOf(f)));
  }, [pitcherId]);
  useEffect(refresh, [refresh, revision]);
  return (
    <section aria-labelledby="trust">
      <h2 id="trust">Trust it in a game?</h2>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {answer && (
        <div class="card trust">
          <p class="answer"><Sign met={answer.trusted} /> <strong>{answer.trusted ? `Yes, by your rule for the ${answer.pitchName}.` : `Not yet, by your rule for the ${answer.pitchName}.`}</strong></p>
          {answer.lines.some((l) => !l.met) && (
            <ul class="rule">
              {answer.lines.filter((l) => !l.met).map((l) => <li key={l.text}><Sign met={false} /><p><b>{l.text}</b>: {l.have}</p></li>)}
            </ul>
          )}
          <details class="depth">
            <summary>The rule, line by line</summary>
            <ul class="rule">
              {answer.lines.map((l) => (
              <li key={l.text}>
                <Sign met={l.met} />
                <div>
                  <p><b>{l.text}</b>: {l.have}</p>
                  {l.broke.length + l.made.length > 0 && (
                    <details class="which">
                      <summary>Which {l.kind === "bullpens" || l.kind === "same body" ? "bullpens" : "reps"}<span class="sr-only">: {l.text}</span></summary>
                      <Named says="Against it" reps={l.broke} />
                      <Named says="For it" reps={l.made} />
                    </details>
                  )}
                </div>
              </li>
            ))}
            </ul>
            <button type="button" class="button" onClick={() => setEditing(true)}>Change the rule</button>
          </details>
        </div>
      )}
      {editing && answer && <RuleEditor answer={answer} pitcherId={pitcherId} types={types} onClose={() => setEditing(false)} onSaved={refresh} />}
    </section>
  );
}

/** What made or broke a line, the latest of them. */
function Named({ says, reps }: { says: string; reps: TrustLine["broke"] }) {
  if (reps.length === 0) return null;
  return <p class="quiet">{says}: {reps.length > shown && `${reps.length - shown} before, `}{reps.slice(-shown).map((r, i) => <>{i > 0 && ", "}<Link key={r.id} to={to.bullpen(r.bullpenId)}>{r.label}</Link></>)}</p>;
}

function Sign({ met }: { met: boolean }) {
  return (
    <svg class={`sign ${met ? "met" : "unmet"}`} viewBox="0 0 24 24" role="img" aria-label={met ? "met" : "not met"}>
      <path d={met ? "M4 13l5 6L20 5" : "M6 6l12 12M18 6L6 18"} />
    </svg>
  );
}

type Kind = TrustLine["kind"];
/** of: it asks of how many the last; all: that may be left out, for all of them. */
const kinds: Record<Kind, { words: string; need: string; of: boolean; all?: boolean; start: { need: number; of: number } }> = {
  "in the band": { words: "in the band", need: "reps", of: true, start: { need: 8, of: 10 } },
  strikes: { words: "strikes of called pitches", need: "per cent", of: true, all: true, start: { need: 60, of: 0 } },
  bullpens: { words: "thrown in bullpens", need: "bullpens", of: false, start: { need: 3, of: 0 } },
  spread: { words: "gaps spread by at most", need: "mph", of: true, start: { need: 2, of: 10 } },
  "same body in reps": { words: "same body in reps that tell", need: "reps", of: true, start: { need: 8, of: 10 } },
  "same body": { words: "same body in bullpens that tell", need: "bullpens", of: true, start: { need: 2, of: 3 } },
};

/** Of how many the last a line asks; empty for all of them, however many there are. */
const lastOf = (of: number) => (of > 0 ? String(of) : "");

/** What keeps a line from being saved; empty when nothing does. */
export function problemOf({ kind, need, of }: Draft): string {
  const { of: asks, all } = kinds[kind];
  if (need.trim() === "") return `Type a number of ${kinds[kind].need}.`;
  if (Number.isNaN(numberOf(need))) return `“${need}” is no number of ${kinds[kind].need}: type one.`;
  if (!asks || (all && of.trim() === "")) return "";
  if (of.trim() === "") return "Type of how many the last it asks.";
  return Number.isInteger(numberOf(of)) ? "" : `“${of}” is no whole number: type of how many the last it asks${all ? ", or nothing for all" : ""}.`;
}

export interface Draft {
  kind: Kind;
  need: string;
  of: string;
}

function RuleEditor({ answer, pitcherId, types, onClose, onSaved }: { answer: TrustAnswer; pitcherId: string; types: PitchType[]; onClose: () => void; onSaved: () => void }) {
  const [pitch, setPitch] = useState<Pitch>(answer.pitch);
  const [lines, setLines] = useState<Draft[]>(answer.lines.map((l) => ({ kind: l.kind, need: String(l.need), of: lastOf(l.of) })));
  const set = (i: number, change: Partial<Draft>) => setLines(lines.map((l, k) => (k === i ? { ...l, ...change } : l)));
  const save = async (event: Event) => {
    event.preventDefault();
    const wrong = lines.findIndex((l) => problemOf(l));
    if (wrong >= 0) return say(`Line ${wrong + 1}: ${problemOf(lines[wrong]!)}`, true);
    const body = {
      version: answer.version,
      pitch,
      lines: lines.map((l) => ({ kind: l.kind, need: numberOf(l.need), of: numberOf(l.of) })),
    };
    if (await act(ask("put", "/api/pitchers/{id}/trust", { path: { id: pitcherId }, body }), "The rule is saved.")) {
      onSaved();
      onClose();
    }
  };
  return (
    <Dialog title="When do you trust it?" onClose={onClose}>
      <form class="stack" onSubmit={(e) => void save(e)}>
        <label class="field"><span>Pitch</span>
          <select class="input" value={pitch} data-first onChange={(e) => setPitch(e.currentTarget.value as Pitch)}>{types.filter((t) => t.band).map((t) => <option key={t.code} value={t.code}>{t.name}</option>)}</select>
        </label>
        {lines.map((l, i) => (
          <fieldset key={i} class="fieldset line">
            <legend>Line {i + 1}</legend>
            <div class="row">
              <select class="input kind" aria-label={`What line ${i + 1} asks`} value={l.kind} onChange={(e) => {
                const kind = e.currentTarget.value as Kind;
                set(i, { kind, need: String(kinds[kind].start.need), of: lastOf(kinds[kind].start.of) });
              }}>
                {(Object.keys(kinds) as Kind[]).map((k) => <option key={k} value={k}>{kinds[k].words}</option>)}
              </select>
              <label class="field short"><span>{kinds[l.kind].need}</span><input class="input" inputMode="decimal" value={l.need} onInput={(e) => set(i, { need: e.currentTarget.value })} /></label>
              {kinds[l.kind].of && <label class="field short"><span>of the last</span><input class="input" inputMode="numeric" placeholder={kinds[l.kind].all ? "all" : ""} value={l.of} onInput={(e) => set(i, { of: e.currentTarget.value })} /></label>}
              <button type="button" class="button" aria-label={`Remove line ${i + 1}`} onClick={() => setLines(lines.filter((_, k) => k !== i))}>Remove</button>
            </div>
          </fieldset>
        ))}
        <footer>
          <button type="button" class="button" onClick={() => setLines([...lines, { kind: "in the band", need: "8", of: "10" }])}>Add a line</button>
          <button class="button primary">Save</button>
        </footer>
      </form>
    </Dialog>
  );
}
