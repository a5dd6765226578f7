// Her joints and the lines between them, over the film's picture.
import { bones } from "../pictures/bones";
import { leastSure, poseAt } from "./joints";
import { useOffice } from "./office";
import { useWatched } from "./watch";

export function Skeleton() {
  const office = useOffice();
  const on = useWatched(office.changes, () => office.joints.on);
  return on ? <Drawn /> : null;
}

function Drawn() {
  const office = useOffice();
  const film = useWatched(office.changes, () => office.film);
  const frame = useWatched(office.changes, () => office.room.state.frame);
  const run = useWatched(office.changes, () => film && office.joints.at(film.id, frame, office.sheet.revision));
  const pose = run && poseAt(run, frame);
  if (!film || !pose) return null;
  // Both x and y are in heights of the picture.
  const size = film.height;
  const at = (joint: number) => {
    const [x = 0, y = 0, sure = 0] = pose.joints[joint] ?? [];
    return sure < leastSure ? undefined : { x: x * size, y: y * size };
  };
  const unit = size / 240;
  const middle = (a: number, b: number) => {
    const [p, q] = [at(a), at(b)];
    return p && q && { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
  };
  const line = (key: string, side: string, p?: { x: number; y: number }, q?: { x: number; y: number }) =>
    p && q && [
      <path key={`${key} under`} class="bone under" stroke-width={2.4 * unit} d={`M${p.x} ${p.y}L${q.x} ${q.y}`} />,
      <path key={key} class={`bone ${side}`} stroke-width={1.3 * unit} d={`M${p.x} ${p.y}L${q.x} ${q.y}`} />,
    ];
  return (
    <svg class="skeleton" viewBox={`0 0 ${film.width} ${film.height}`} role="img" aria-label="Her joints on this frame, as tenoff sees them">
      {bones.map(({ from, to, side }) => line(`${from} ${to}`, side, at(from), at(to)))}
      {line("spine", "trunk", middle(5, 6), middle(11, 12))}
      {Array.from({ length: 12 }, (_, i) => i + 5).map((joint) => {
        const p = at(joint);
        return p && <circle key={joint} class={joint % 2 ? "left" : "right"} cx={p.x} cy={p.y} r={1.7 * unit} stroke-width={0.5 * unit} />;
      })}
    </svg>
  );
}

/** With the skeleton on, why there is none on this frame. */
export function SkeletonSaid() {
  const office = useOffice();
  const on = useWatched(office.changes, () => office.joints.on);
  const film = useWatched(office.changes, () => office.film);
  const frame = useWatched(office.changes, () => office.room.state.frame);
  const run = useWatched(office.changes, () => (on && film ? office.joints.at(film.id, frame, office.sheet.revision) : undefined));
  const searching = useWatched(office.changes, () => office.sheet.jobs.some((j) => j.kind === "find joints" && film && j.subject === `${film.id}/joints` && (j.state === "queued" || j.state === "running")));
  if (!on || !run || poseAt(run, frame)?.joints.some((joint) => (joint?.[2] ?? 0) >= leastSure)) return null;
  return (
    <p class="skeleton-said" role="status">
      {run.found ? "She is not seen on this frame." : searching ? "Her joints are being looked for." : "Joints are looked for round each rep; this frame is far from one."}
    </p>
  );
}
