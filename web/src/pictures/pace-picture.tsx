// How fast legs and arm went beside her own fastballs: a mark on a line of speed, and
// the bar round it in which it may really lie. The numbers are the server's.
import type { ComponentChildren } from "preact";
import type { Slowing } from "../api/types";
import { layOutPace } from "./pace-layout";
import { useWidth } from "./use-width";

interface Props {
  legs: Slowing;
  arm?: Slowing | undefined;
  /** What her baseline pitch is called. */
  baseline: string;
  /** The film does not decide it: the marks are hollow. */
  open?: boolean;
}

const head = 26;
const row = 42;

export function PacePicture({ legs, arm, baseline, open = false }: Props) {
  const [box, width] = useWidth<HTMLElement>();
  const lines = [{ name: "legs", of: legs }, ...(arm ? [{ name: "arm", of: arm }] : [])];
  const layout = layOutPace(lines.map(({ of }) => ({ speed: of.speed, lo: of.speedLo, hi: of.speedHi })), 92, width - 8);
  const high = head + lines.length * row + 22;
  const bottom = head + lines.length * row;
  return (
    <figure class="picture pace" ref={box}>
      <svg viewBox={`0 0 ${width} ${high}`} width={width} height={high} role="img" aria-label={lines.map(({ name, of }) => paceWords(name, of, baseline)).join("; ")}>
        <rect class="slower" x={layout.left} width={layout.whole - layout.left} y={head} height={bottom - head} />
        <text x={Math.min(layout.whole, width - 66)} y={head - 8} text-anchor="middle">her {baseline}: 100 %</text>
        <line class="baseline" x1={layout.whole} x2={layout.whole} y1={head} y2={bottom} />
        {lines.map(({ name, of }, i) => {
          const y = head + row * (i + 0.5);
          const at = layout.rows[i]!;
          return (
            <g key={name}>
              <text class="part" x={0} y={y - 3}>{name}</text>
              <text class="percent" x={0} y={y + 16}>{Math.round(of.speed)} %</text>
              <line class="track" x1={layout.left} x2={layout.right} y1={y} y2={y} />
              <rect class="range" x={at.x0} width={Math.max(at.x1 - at.x0, 2)} y={y - 6} height={12} rx={3} />
              <circle class={open ? "at open" : "at"} cx={at.x} cy={y} r={9} />
            </g>
          );
        })}
        <text x={layout.left} y={bottom + 17}>◂ slower</text>
        <text x={layout.right} y={bottom + 17} text-anchor="end">faster ▸</text>
      </svg>
      <figcaption class="fine quiet">
        <ul class="key">
          <li><Sign><circle class={open ? "at open" : "at"} cx="15" cy="11" r="8" /></Sign> {open ? "hollow: her speed as the film shows it, but not surely enough to tell" : "her speed, in per cent of her " + baseline + "’s"}</li>
          <li><Sign><rect class="range" x="1" y="5" width="28" height="12" rx="3" /></Sign> it may really lie anywhere on this bar</li>
          <li><Sign><rect class="slower" x="1" y="5" width="28" height="12" /></Sign> slower than on her {baseline}</li>
        </ul>
      </figcaption>
    </figure>
  );
}

function Sign({ children }: { children: ComponentChildren }) {
  return <svg width="30" height="22" aria-hidden="true">{children}</svg>;
}

function paceWords(name: string, of: Slowing, baseline: string): string {
  return `${name} ${Math.round(of.speed)} % as fast as on her ${baseline}, likely between ${Math.round(of.speedLo)} and ${Math.round(of.speedHi)} %`;
}
