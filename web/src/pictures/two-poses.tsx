// Her mean pose on her fastballs and on an off-speed pitch, drawn over each other, and what
// differs lit. The numbers are the server's.
import { bones } from "./bones";
import { layOutPoses, type Place, type Spot } from "./pose-layout";

interface Props {
  fast: readonly Spot[];
  off: readonly Spot[];
  lit: readonly number[];
  /** What several of both pitches are called. */
  baseline: string;
  pitch: string;
  /** What there is to be seen, for those who can't. */
  says: string;
}

const shoulders: [number, number] = [5, 6];
const hips: [number, number] = [11, 12];
const face = [0, 1, 2, 3, 4];

export function TwoPoses({ fast, off, lit, baseline, pitch, says }: Props) {
  const laid = layOutPoses(fast, off, lit);
  if (!laid) return null;
  return (
    <figure class="picture two-poses">
      <svg viewBox={`0 0 ${laid.width} ${laid.height}`} role="img" aria-label={says}>
        <line class="ground" x1={0} x2={laid.width} y1={laid.ground + 8} y2={laid.ground + 8} />
        <text x={laid.width - 4} y={laid.ground + 30} text-anchor="end">to the plate ▸</text>
        {laid.lit.map((l, i) => <circle key={i} class="lit" cx={l.x} cy={l.y} r={l.r} />)}
        <Figure of="fast" at={laid.fast} />
        <Figure of="off" at={laid.off} />
      </svg>
      <figcaption class="fine quiet">
        <ul class="key">
          <li><svg width="34" height="22" aria-hidden="true"><line class="fast" x1="4" x2="30" y1="11" y2="11" /></svg> her {baseline}, the mean</li>
          <li><svg width="34" height="22" aria-hidden="true"><line class="off" x1="4" x2="30" y1="11" y2="11" /></svg> her {pitch}, the mean</li>
          <li><svg width="34" height="22" aria-hidden="true"><circle class="lit" cx="17" cy="11" r="9" /></svg> what stands out, where it is clearest</li>
        </ul>
      </figcaption>
    </figure>
  );
}

function Figure({ of, at }: { of: "fast" | "off"; at: readonly (Place | undefined)[] }) {
  const middle = ([a, b]: [number, number]) => {
    const [p, q] = [at[a], at[b]];
    return p && q && { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 };
  };
  const line = (key: string, p?: Place, q?: Place) => p && q && <line key={key} class={of} x1={p.x} y1={p.y} x2={q.x} y2={q.y} />;
  const seen = face.flatMap((joint) => at[joint] ?? []);
  const head = seen.length > 0 && { x: seen.reduce((sum, p) => sum + p.x, 0) / seen.length, y: seen.reduce((sum, p) => sum + p.y, 0) / seen.length };
  return (
    <g>
      {bones.map(({ from, to }) => line(`${from} ${to}`, at[from], at[to]))}
      {line("spine", middle(shoulders), middle(hips))}
      {head && <circle class={`head ${of}`} cx={head.x} cy={head.y} r={17} />}
    </g>
  );
}
