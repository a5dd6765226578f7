// What tenoff found in the open film, in words; and what all
// its film speeds together say.
import { useOffice, type Office } from "./office";
import { filmsWithout, withoutText } from "./core/next";
import { mayBeRep, proposalSentence, unexplained, walkBack } from "./core/room";
import { hint } from "./hint";
import { useWatched } from "./watch";
import { Link } from "../shell/router";
import { to } from "../shell/routes";

/** Whether there is anything to be said of proposals: one at the playhead, or some on this film to decide. */
export function notesProposals(office: Office): boolean {
  const counts = countsOf(office);
  return office.room.proposalHere() !== undefined || counts.all > counts.strange || (office.film?.tooShort ?? false);
}

/** The proposal at the playhead, or how many there are. */
export function ProposalNote() {
  const office = useOffice();
  const { room, changes } = office;
  const here = useWatched(changes, () => room.proposalHere());
  const counts = useWatched(changes, () => countsOf(office));
  const short = useWatched(changes, () => office.film?.tooShort ?? false);
  if (!here && short) return <p class="proposal-note" role="status">This film is too short to tell a rep on it. Mark the release yourself, or film from before she moves until the ball is caught.</p>;
  if (!here && counts.all === 0) return null;
  return (
    <div class="proposal-note" role="group" aria-label="Proposed reps">
      <p role="status">{here ? proposalSentence(here) : counts.sentence}</p>
      {here?.state === "open" && mayBeRep(here) && (
        <button type="button" class="button primary" title={hint("Its release is the frame on show", { do: "isRep" })} onClick={() => room.act({ do: "isRep" })}>It is a rep <kbd>Y</kbd></button>
      )}
      {here && here.reason !== walkBack && (
        <button type="button" class="button" title={hint("No rep", { do: "throwOut" })} onClick={() => room.act({ do: "throwOut" })}>
          {here.state === "open" ? "No rep" : "Take it back"} <kbd>X</kbd>
        </button>
      )}
      {!here && counts.all > counts.strange && (
        <button type="button" class="button primary" title={hint("Next proposed rep", { do: "proposal", by: 1 })} onClick={() => room.act({ do: "proposal", by: 1 })}>Next <kbd>N</kbd></button>
      )}
    </div>
  );
}

function countsOf(office: Office): { all: number; strange: number; sentence: string } {
  const open = office.sheet.proposals.filter((p) => p.filmId === office.room.state.film && p.state === "open" && p.reason !== walkBack);
  const strange = open.filter((p) => p.reason === unexplained).length;
  const asked = open.filter((p) => mayBeRep(p) && !p.sure).length;
  const sure = open.length - strange - asked;
  const parts = [
    sure > 0 && `${sure} ${sure === 1 ? "rep" : "reps"} proposed`,
    asked > 0 && `${asked} to ask about`,
    strange > 0 && `${strange} ${strange === 1 ? "stretch" : "stretches"} of unexplained motion (as much moves as in a rep, but like none of them: somebody walking by, for instance)`,
  ].filter(Boolean);
  const rough = open.some((p) => p.rough && mayBeRep(p)) ? " Their releases are rough: put the first one right, and the others follow." : "";
  const reps = office.ledger.rows().map(({ rep }) => rep);
  const without = withoutText(filmsWithout({ films: office.films.filter((f) => f.steppable), reps, proposed: office.room.openProposals() }).length);
  return { all: open.length, strange, sentence: `${parts.join(", ")}.${rough}${without && ` ${without}`}` };
}

/** "Is 43 ft right?", with one click to where it is set. */
export function DistanceDoubt() {
  const office = useOffice();
  const doubt = useWatched(office.changes, () => office.sheet.distanceDoubts.find((d) => d.filmId === office.room.state.film));
  if (!doubt) return null;
  return (
    <div class="notice alarm" role="alert">
      <p>{doubt.sentence}</p>
      <div class="row"><Link class="button" to={to.distance(office.sheet.pitcher.id)}>Her pitching distance …</Link></div>
    </div>
  );
}

/**
 * "This film's sound is late, or the distance is wrong", with one click to where the
 * distance is set and one to accept the sound: for all the bullpen's films where another
 * is as late, else for this one alone.
 */
export function SoundNote() {
  const office = useOffice();
  const film = useWatched(office.changes, () => office.film);
  const note = useWatched(office.changes, () => office.sheet.soundNotes.find((n) => n.filmId === office.room.state.film));
  if (!film || !note) return null;
  return (
    <div class="quiet" role="status">
      <p>{note.sentence}</p>
      <div class="row">
        <Link class="button" to={to.distance(office.sheet.pitcher.id)}>Her pitching distance …</Link>
        <button type="button" class="button" onClick={() => office.editFilm(film, { soundLate: note.seconds, ...(note.all && { all: true }) })}>{note.all ? "The sound is late on all films" : "The sound is late"}</button>
      </div>
    </div>
  );
}

/** "Was this filmed in slow motion?", with one click for yes and one for no. */
export function SlowDoubt() {
  const office = useOffice();
  const film = useWatched(office.changes, () => office.film);
  const doubt = useWatched(office.changes, () => office.sheet.slowDoubts.find((d) => d.filmId === office.room.state.film));
  if (!film || !doubt) return null;
  const times = Math.round(doubt.times * 10) / 10;
  return (
    <div class="notice alarm" role="alert">
      <p>{doubt.sentence}</p>
      <div class="row">
        <button type="button" class="button primary" onClick={() => office.editFilm(film, { slow: film.slow * times, alike: true })}>Yes: it plays {times} times slower</button>
        <button type="button" class="button" onClick={() => office.editFilm(film, { slow: film.slow, alike: true })}>No, it plays as filmed</button>
      </div>
    </div>
  );
}
