// Hands a workout out: to whom, with whose consent, until when; then the link.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { MadeSlip, PitcherCard, Starter, Workout } from "../api/types";
import { DayField } from "../parts/day-field";
import { copied } from "../parts/copy-button";
import { Dialog } from "../parts/dialog";
import { NewPitcherFields, nobodyYet } from "../parts/new-pitcher";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { ConsentForm, useConsents, whoSaysYes } from "../links/consent";
import { MadeLink } from "../links/made-link";
import { whoHasIt } from "./said";

/** What is chosen for a pitcher who is not in the list; no pitcher's id. */
const someoneNew = "new";

/** So many pitchers stand as buttons, one touch each; more in a list. */
const fewPitchers = 6;

/** What is handed out: a workout of hers, or one of those to start with. */
export type Handed = Pick<Workout, "id" | "title"> | { starter: Starter["key"]; title: string };

export function HandOut({ workout, pitcherId = "", onClose }: { workout: Handed; pitcherId?: string; onClose: () => void }) {
  const [pitchers, setPitchers] = useState<readonly Pick<PitcherCard, "id" | "label">[]>();
  const [who, setWho] = useState(pitcherId);
  const [due, setDue] = useState("");
  const [days, setDays] = useState("14");
  const [problem, setProblem] = useState("");
  const [busy, setBusy] = useState(false);
  const [homework, setHomework] = useState("");
  const [made, setMade] = useState<MadeSlip>();
  const [onClipboard, setOnClipboard] = useState(false);
  const { list, refresh } = useConsents(who === someoneNew ? undefined : who || undefined);
  const yes = list && whoSaysYes(list, "homework");

  useEffect(() => {
    ask("get", "/api/pitchers").then(
      ({ pitchers: known }) => {
        setPitchers(known);
        if (known.length === 0) setWho(someoneNew);
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, []);

  const make = async (event: Event) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLElement;
    setBusy(true);
    try {
      // Should the link fail, trying again does not hand the workout out twice.
      const id = homework || (await ask("post", "/api/homework", { body: { pitcherId: who, ...("starter" in workout ? { starter: workout.starter } : { workoutId: workout.id }), ...(due ? { due } : {}) } })).id;
      setHomework(id);
      const slip = await ask("post", "/api/homework/{id}/slips", { path: { id }, body: { days: Number(days) } });
      setOnClipboard(await copied(slip.shareText, form.lastElementChild as HTMLElement));
      setMade(slip);
      setProblem("");
    } catch (failure) {
      setProblem(sentenceOf(failure));
    }
    setBusy(false);
  };

  if (made) {
    return (
      <Dialog title="The link" onClose={onClose}>
        <MadeLink made={made} warning={whoHasIt} qrName="homework-link.png" copied={onClipboard} />
        <footer>
          <Link class="button" to={to.homework(homework)}>To this homework</Link>
          <button type="button" class="button primary" onClick={onClose}>Done</button>
        </footer>
      </Dialog>
    );
  }
  return (
    <Dialog title={`Hand out “${workout.title}”`} onClose={onClose}>
      {pitchers && pitchers.length > 0 && pitchers.length <= fewPitchers && (
        <fieldset class="fieldset" disabled={homework !== ""}>
          <legend>To</legend>
          <div class="row">
            {[...pitchers, { id: someoneNew, label: "Someone new …" }].map((p, i) => (
              <button key={p.id} type="button" class="button" aria-pressed={who === p.id} {...(i === 0 ? { "data-first": true } : {})} onClick={() => setWho(p.id)}>{p.label}</button>
            ))}
          </div>
        </fieldset>
      )}
      {pitchers && pitchers.length > fewPitchers && (
        <label class="field">
          <span>To</span>
          <select class="input" data-first value={who} disabled={homework !== ""} onChange={(e) => setWho(e.currentTarget.value)}>
            <option value="" disabled>Choose a pitcher …</option>
            {pitchers.map((p) => <option key={p.id} value={p.id}>{p.label}</option>)}
            <option value={someoneNew}>Someone new …</option>
          </select>
        </label>
      )}
      {pitchers && who === someoneNew && <NewPitcher onMade={(her) => { setPitchers([...pitchers, her]); setWho(her.id); }} />}
      {list && !yes && <ConsentForm key={who} pitcherId={who} asks={list.asks} needed="homework" onGiven={refresh} />}
      {yes && (
        <form class="stack" onSubmit={(e) => void make(e)}>
          <p class="quiet">Yes to homework: {yes}.</p>
          <div class="filters">
            <DayField label="Due" none="no day" value={due} disabled={homework !== ""} onInput={setDue} />
            <label class="field"><span>The link opens for</span>
              <select class="input" value={days} onChange={(e) => setDays(e.currentTarget.value)}>{[3, 7, 14, 30, 60].map((d) => <option key={d} value={d}>{d} days</option>)}</select>
            </label>
          </div>
          {problem && <p class="notice alarm" role="alert">{problem}</p>}
          <footer>
            <button type="button" class="button" onClick={onClose}>Cancel</button>
            <button class="button primary" disabled={busy}>Make the link and copy it</button>
          </footer>
        </form>
      )}
    </Dialog>
  );
}

/** A pitcher who has no bullpen yet. */
function NewPitcher({ onMade }: { onMade: (her: Pick<PitcherCard, "id" | "label">) => void }) {
  const [her, setHer] = useState(nobodyYet);
  const [problem, setProblem] = useState("");
  const add = (event: Event) => {
    event.preventDefault();
    ask("post", "/api/pitchers", { body: { label: her.label.trim(), level: her.level } }).then(onMade, (failure) => setProblem(sentenceOf(failure)));
  };
  return (
    <form class="stack" onSubmit={add}>
      <NewPitcherFields her={her} required onChange={setHer} />
      <div><button class="button">Add her</button></div>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
    </form>
  );
}
