// One step is said at a time: what is asked about the film first, then what lies at the
// playhead, then what is to be done next.
import type { Film, GunPlace } from "../api/types";
import { gunPlaces } from "../intake/new-bullpen";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { pitchName } from "../words/workout";
import { leftOf, nextOf, type Known, type Next } from "./core/next";
import { useOffice, type Office } from "./office";
import { DistanceDoubt, ProposalNote, SlowDoubt, SoundNote, notesProposals } from "./proposal-note";
import { useWatched } from "./watch";

/** From where films are seen, in the words of the question. */
export const views: readonly { view: Film["view"]; name: string; stood: string }[] = [
  { view: "side", name: "the side", stood: "At her side" }, { view: "diagonal", name: "half behind", stood: "Half behind her" }, { view: "behind", name: "behind", stood: "Behind her" },
];

export function NextStep() {
  const office = useOffice();
  const { changes, room, sheet } = office;
  const film = useWatched(changes, () => room.state.film);
  const doubt = useWatched(changes, () => office.sheet.slowDoubts.some((d) => d.filmId === film) ? "slow" : office.sheet.distanceDoubts.some((d) => d.filmId === film) ? "distance" : "");
  const byEar = useWatched(changes, () => room.state.typing?.byEar ?? false);
  const proposals = useWatched(changes, () => notesProposals(office));
  const next = useWatched(changes, () => stepOf(office));
  return (
    <section class="next-step" aria-label="What is next">
      {byEar ? <p role="status">Type what you hear, then <kbd>Enter</kbd>: the next one plays. <kbd>Space</kbd> plays it again.</p>
        : doubt === "slow" ? <SlowDoubt />
        : doubt === "distance" ? <DistanceDoubt />
        : proposals ? <ProposalNote />
        : next ? <Step next={next} bullpenId={sheet.bullpen.id} /> : <p class="quiet">Stop where the ball leaves the hand, and mark it.</p>}
      <SoundNote />
    </section>
  );
}

/** Whether marking a release is what comes next: then it is the main button. */
export function marksNext(office: Office): boolean {
  if (office.room.state.typing || notesProposals(office)) return false;
  const next = stepOf(office);
  return next === undefined || next.kind === "film";
}

const stepOf = (office: Office): Next | undefined => nextOf(knownOf(office));

/** All that is left to do here, in one line. */
export const leftIn = (office: Office): string => leftOf(knownOf(office));

function knownOf(office: Office): Known {
  const { sheet, ledger, room } = office;
  return {
    bullpen: sheet.bullpen, films: office.films.filter((f) => f.steppable), film: room.state.film, reps: ledger.rows().map(({ rep }) => rep),
    proposed: room.openProposals(), marked: sheet.body.marked,
    baseline: { pitch: sheet.pitcher.baselinePitch, name: pitchName(office.pitchTypes, sheet.pitcher.baselinePitch) },
    clips: new Set(sheet.clips.filter((c) => c.kind === "single").map((c) => c.repIds[0]!)),
  };
}

function Step({ next, bullpenId }: { next: Next; bullpenId: string }) {
  const office = useOffice();
  const { room } = office;
  const button = (label: string, act: () => void, main = next.kind === "act" || next.kind === "rep") => <button key={label} type="button" class={`button${main ? " primary" : ""}`} onClick={act}>{label}</button>;
  const film = office.film;
  return (
    <>
      <p role="status">{next.says}</p>
      <div class="row">
        {next.kind === "act" && button(next.label, () => room.act(next.action))}
        {next.kind === "film" && button(next.label, () => { room.choose(undefined); room.open(next.film); })}
        {next.kind === "rep" && button(next.label, () => {
          const row = office.ledger.rows().find(({ rep }) => rep.id === next.rep);
          if (!row) return;
          room.choose(row.key);
          if (next.then) room.act(next.then);
        })}
        {next.kind === "view" && film && views.map(({ view, stood }) => button(stood, () => office.editFilm(film, { view, all: true })))}
        {next.kind === "gun" && gunPlaces.filter((p) => p !== "not said").map((gun: GunPlace) => button(capital(gun), () => office.editBullpen({ gun })))}
        {next.kind === "done" && <Link class="button primary" to={to.bullpen(bullpenId)}>See the bullpen</Link>}
      </div>
    </>
  );
}

const capital = (s: string) => s.slice(0, 1).toUpperCase() + s.slice(1);
