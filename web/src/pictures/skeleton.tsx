// Her joints and the lines between them over a film's picture, and how her trunk leans
// and her hips lie, in numbers.
import type { Joints } from "../api/types";
import { bones } from "./bones";
import { leastSure } from "../player/joints";

type Pose = Joints["poses"][number];

/** What the drawing says to whoever can't see it. */
export function leanText(pose: Pose): string {
  const said = [];
  if (pose.lean !== undefined) said.push(`her trunk leans ${Math.abs(pose.lean)} degrees ${pose.lean < 0 ? "back" : "forward"}`);
  if (pose.hips !== undefined) said.push(`her hips look ${pose.hips} % as wide as at their widest`);
  return said.join(", ");
}

export function Skeleton({ film, pose }: { film: { width: number; height: number }; pose: Pose }) {
  const said = leanText(pose);
  return (
    <svg class="skeleton" viewBox={`0 0 ${film.width} ${film.height}`} role="img" aria-label={`Her joints on this frame, as tenoff sees them${said && `; ${said}`}`}>
      <Bones film={film} pose={pose} />
    </svg>
  );
}

/** The drawing alone, for a picture of the film's size; numbers stand on her right in the picture unless said. */
export function Bones({ film, pose, numbers = "right" }: { film: { width: number; height: number }; pose: Pose; numbers?: "left" | "right" }) {
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
  const line = (key: string, side: string, p?: { x: number; y: number }, q?: { x: number; y: number }, wide = 1.3) =>
    p && q && [
      <path key={`${key} under`} class="bone under" stroke-width={(wide + 1.1) * unit} d={`M${p.x} ${p.y}L${q.x} ${q.y}`} />,
      <path key={key} class={`bone ${side}`} stroke-width={wide * unit} d={`M${p.x} ${p.y}L${q.x} ${q.y}`} />,
    ];
  const [neck, hips] = [middle(5, 6), middle(11, 12)];
  const number = (words: string, side: string, p?: { x: number; y: number }) => {
    if (!p) return undefined;
    const left = numbers === "left" || p.x > 0.75 * film.width;
    return <text class={`number ${side}`} x={p.x + (left ? -1 : 1) * 9 * unit} y={p.y} text-anchor={left ? "end" : "start"} font-size={14 * unit} stroke-width={2.2 * unit}>{words}</text>;
  };
  return (
    <>
      {bones.map(({ from, to, side }) => line(`${from} ${to}`, side, at(from), at(to)))}
      {pose.lean !== undefined && hips && neck && <path class="upright" stroke-width={0.8 * unit} stroke-dasharray={`${3 * unit} ${3 * unit}`} d={`M${hips.x} ${hips.y}V${neck.y}`} />}
      {line("spine", "lean", neck, hips, 2)}
      {line("hips", "hips", at(11), at(12), 2)}
      {Array.from({ length: 12 }, (_, i) => i + 5).map((joint) => {
        const p = at(joint);
        return p && <circle key={joint} class={joint % 2 ? "left" : "right"} cx={p.x} cy={p.y} r={1.7 * unit} stroke-width={0.5 * unit} />;
      })}
      {pose.lean !== undefined && number(`${pose.lean < 0 ? "−" : ""}${Math.abs(pose.lean)}°`, "lean", neck)}
      {pose.hips !== undefined && number(`${pose.hips} %`, "hips", hips && { x: hips.x, y: hips.y + 5 * unit })}
    </>
  );
}
