// The body of the whole bullpen: what to mark first, the search for the instants of
// the other reps, what it found or why it could not, and the verdicts so far.
import { BodyMark } from "../parts/body-mark";
import { Fold } from "../parts/fold";
import { SplitBar } from "../pictures/split-bar";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { sense } from "../words/instants";
import { pitchName, pitchNames } from "../words/workout";
import { instants } from "./core/change";
import { acceptable, byHand } from "./core/found";
import { useOffice } from "./office";
import { hint } from "./hint";
import { useWatched } from "./watch";

/** The kind of the job that looks for instants. */
const search = "find instants";

export function BodyBar() {
  const office = useOffice();
  const body = useWatched(office.changes, () => office.sheet.body);
  const film = useWatched(office.changes, () => office.film?.id);
  if (!film) return null;
  return (
    <Fold class="body-bar" title="Same body?" id="same-body">
      {!body.marked && <p class="quiet fine">Whether her legs and her arm go as fast on the other pitches as on her {pitchName(office.pitchTypes, office.sheet.pitcher.baselinePitch)}, timed between four instants of each delivery: {instants.map((i) => `${i} (${sense[i]})`).join(", ")}.</p>}
      {body.checks.map((check) => (
        <div key={`${check.pitch} ${check.drill}`} class="check-line">
          <p><b>{check.pitchName}{check.drill && `, ${check.drill}`}</b> <BodyMark verdict={check.verdict} on={check.on} /></p>
          <p>{check.sentence}</p>
          {check.next && <p><b>Next:</b> {check.next}</p>}
          {(check.softest || check.split) && (
            <details class="depth">
              <summary>{check.split ? `What took the ${check.split.gapWords} off` : "Softest and slowest"}</summary>
              {check.softest && <p>{check.softest}</p>}
              {check.split && <><SplitBar split={check.split} unit={office.sheet.pitcher.unit} /><p class="quiet fine">{check.split.rule}</p></>}
            </details>
          )}
        </div>
      ))}
      {body.marked ? <Search film={film} /> : <MarkFirst />}
      <JointsFailed film={film} />
      <p class="quiet fine">{body.eye.known ? `${body.eye.marks > 0 ? "Your marks repeat" : "Another instructor marked here first, and those marks repeat"} within ${Math.round(body.eye.millis)} ms. ` : "How closely do you mark? "}<Link to={to.again(office.sheet.bullpen.id)}>Mark five reps again, blind</Link>: your first marks are hidden, and how far the second ones lie from them is how sure your marks are.</p>
    </Fold>
  );
}

/** That her joints could not be looked for in a film, and another try. */
function JointsFailed({ film }: { film: string }) {
  const office = useOffice();
  const job = useWatched(office.changes, () => office.sheet.jobs.find((j) => j.kind === "find joints" && j.subject === `${film}/joints` && j.state === "failed"));
  if (!job) return null;
  return (
    <>
      <p class="notice alarm" role="status">{job.problem || "Her joints could not be looked for in this film."}</p>
      <div class="row"><button type="button" class="button" onClick={() => office.retryJob(job.id)}>Look for her joints again</button></div>
    </>
  );
}

/** What to do before anything can be found. */
function MarkFirst() {
  const office = useOffice();
  const { room } = office;
  const baseline = office.sheet.pitcher.baselinePitch;
  const name = pitchName(office.pitchTypes, baseline);
  const first = useWatched(office.changes, () => office.ledger.rows().find(({ rep }) => rep.pitch === baseline && !rep.warmUp && !rep.drill && rep.filmId === room.state.film && rep.release !== undefined));
  return (
    <>
      <p>Mark the four instants on one {name} (<kbd>1</kbd> drive, <kbd>2</kbd> plant, <kbd>3</kbd> top, <kbd>4</kbd> release) and tenoff finds them in the others.</p>
      {first
        ? <div class="row"><button type="button" class="button" onClick={() => room.choose(first.key)}>Start with rep {first.rep.order}</button></div>
        : <p class="quiet">Log the release of her {pitchNames(office.pitchTypes, baseline)} on this film first.</p>}
    </>
  );
}

function Search({ film }: { film: string }) {
  const office = useOffice();
  const { room, changes, ledger } = office;
  const job = useWatched(changes, () => office.sheet.jobs.find((j) => j.kind === search));
  const said = useWatched(changes, () => office.sheet.body.films.find((f) => f.filmId === film));
  const counts = useWatched(changes, () => {
    const reps = ledger.rows().map(({ rep }) => rep).filter((rep) => rep.filmId === film);
    return {
      found: reps.filter((r) => r.found).length,
      reps: reps.filter((r) => r.release !== undefined).length,
      waiting: reps.reduce((n, r) => n + Object.keys(acceptable(r)).length, 0),
      byHand: reps.filter((r) => byHand(r).length > 0).map((r) => r.order),
    };
  });
  if (job && (job.state === "queued" || job.state === "running")) {
    return (
      <div class="row" role="status">
        <p>The instants are looked for in the other reps.</p>
        <progress class="bar-of-progress" max={1} value={job.progress} aria-label="The instants are looked for" />
      </div>
    );
  }
  const again = <button type="button" class="button" title={hint("Find the instants in the other reps", { do: "find" })} onClick={() => room.act({ do: "find" })}>{said ? "Look again" : "Find them in the other reps"} <kbd>I</kbd></button>;
  if (job?.state === "failed") return <><p class="notice alarm" role="alert">{job.problem || "The instants could not be looked for."}</p><div class="row">{again}</div></>;
  if (said?.refusal) return <><p class="notice alarm" role="status">{said.refusal}</p><div class="row">{again}</div></>;
  return (
    <>
      <p role="status">
        {counts.found > 0 && `Found on ${counts.found} of ${counts.reps} reps of this film. `}
        {counts.waiting > 0 && `${counts.waiting} ${counts.waiting === 1 ? "moment was found by tenoff and counts" : "moments were found by tenoff and count"}; say yes once you have looked. `}
        {counts.byHand.length > 0 && `Not found everywhere: mark by hand on rep ${counts.byHand.slice(0, 6).join(", ")}${counts.byHand.length > 6 ? " and others" : ""}.`}
      </p>
      {said?.warning && <p class="notice">{said.warning}</p>}
      <div class="row">
        {counts.waiting > 0 && <button type="button" class="button" title={hint("Accept all that was found on this film", { do: "accept", of: "film" })} onClick={() => room.act({ do: "accept", of: "film" })}>Accept all on this film <kbd>⇧</kbd><kbd>A</kbd></button>}
        {again}
      </div>
    </>
  );
}
