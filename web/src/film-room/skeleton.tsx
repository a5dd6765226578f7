// Her joints over the frame on show.
import { Skeleton } from "../pictures/skeleton";
import { leastSure, poseAt } from "../player/joints";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function SkeletonLayer() {
  const office = useOffice();
  const on = useWatched(office.onShow, () => office.joints.on);
  return on ? <Drawn /> : null;
}

function Drawn() {
  const office = useOffice();
  const film = useWatched(office.onShow, () => office.film);
  const frame = useWatched(office.onShow, () => office.room.state.frame);
  const run = useWatched(office.onShow, () => film && office.joints.at(film.id, frame, office.sheet.revision));
  const pose = run && poseAt(run, frame);
  if (!film || !pose) return null;
  return <Skeleton film={film} pose={pose} />;
}

/** With the skeleton on, why there is none on this frame. */
export function SkeletonSaid() {
  const office = useOffice();
  const on = useWatched(office.onShow, () => office.joints.on);
  const film = useWatched(office.onShow, () => office.film);
  const frame = useWatched(office.onShow, () => office.room.state.frame);
  const run = useWatched(office.onShow, () => (on && film ? office.joints.at(film.id, frame, office.sheet.revision) : undefined));
  const searching = useWatched(office.onShow, () => office.sheet.jobs.some((j) => j.kind === "find joints" && film && j.subject === `${film.id}/joints` && (j.state === "queued" || j.state === "running")));
  if (!on || !run || poseAt(run, frame)?.joints.some((joint) => (joint?.[2] ?? 0) >= leastSure)) return null;
  return (
    <p class="skeleton-said" role="status">
      {run.found ? "She is not seen on this frame." : searching ? "Her joints are being looked for." : "Joints are looked for round each rep; this frame is far from one."}
    </p>
  );
}
