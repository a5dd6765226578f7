// Where the phone stands, drawn: once from above, once as the phone sees it.
import { useSaid } from "../said/language";

/** The pitcher at the top of her drive, seen from her throwing arm's side. */
function Pitcher({ x, y, scale }: { x: number; y: number; scale: number }) {
  return (
    <g transform={`translate(${x} ${y}) scale(${scale})`} fill="none" stroke="var(--ink)" stroke-width="7" stroke-linecap="round" stroke-linejoin="round">
      <circle cx="4" cy="-104" r="11" fill="var(--ink)" stroke="none" />
      <path d="M2 -90L-4 -48M-4 -48L28 -26L38 -2M-4 -48L-24 -24L-44 -6M2 -84L-6 -124M2 -82L32 -78" />
      <circle cx="-8" cy="-133" r="7" fill="var(--accent)" stroke-width="3" />
    </g>
  );
}

function Phone({ x, y }: { x: number; y: number }) {
  return (
    <g>
      <rect x={x - 15} y={y - 8} width="30" height="16" rx="3" fill="var(--accent)" stroke="var(--ink)" stroke-width="3" />
      <circle cx={x} cy={y - 8} r="4" fill="var(--ink)" />
    </g>
  );
}

export function WhereToStand() {
  const { say } = useSaid();
  return (
    <>
      <figure>
        <svg viewBox="0 0 340 190" role="img" aria-label={say("stand.aboveTold")}>
          <path d="M50 55H285" stroke="var(--soft-ink)" stroke-width="3" stroke-dasharray="8 7" />
          <path d="M60 150L8 20M60 150L112 20" stroke="var(--edge)" stroke-width="2" fill="none" />
          <circle cx="60" cy="55" r="14" fill="var(--ink)" />
          <path d="M60 69a14 14 0 0 0 12 8" stroke="var(--ink)" stroke-width="6" fill="none" stroke-linecap="round" />
          <path d="M278 43h20v24h-20z" fill="none" stroke="var(--ink)" stroke-width="3" />
          <Phone x={60} y={158} />
          <path d="M60 138V88" stroke="var(--ink)" stroke-width="3" />
          <path d="M60 84l-7 11h14z" fill="var(--ink)" />
          <g fill="var(--ink)" font-size="15" font-weight="700" font-family="var(--sans)">
            <text x="120" y="46">{say("stand.pitcher")}</text>
            <text x="332" y="36" text-anchor="end">{say("stand.glove")}</text>
            <text x="84" y="164">{say("stand.phone")}</text>
            <text x="112" y="112">{say("stand.square")}</text>
          </g>
        </svg>
        <figcaption>{say("stand.above")}</figcaption>
      </figure>
      <figure>
        <svg viewBox="0 0 340 190" role="img" aria-label={say("stand.seenTold")}>
          <rect x="20" y="8" width="300" height="174" rx="12" fill="var(--card)" stroke="var(--ink)" stroke-width="5" />
          <path d="M23 164H317" stroke="var(--edge)" stroke-width="3" />
          <Pitcher x={130} y={163} scale={0.97} />
          <path d="M185 160H285" stroke="var(--soft-ink)" stroke-width="3" stroke-dasharray="6 6" />
          <path d="M292 160l-12 -6v12z" fill="var(--soft-ink)" />
          <g fill="var(--ink)" font-size="15" font-weight="700" font-family="var(--sans)">
            <text x="188" y="40">{say("stand.roomAbove")}</text>
            <text x="188" y="148">{say("stand.roomInFront")}</text>
          </g>
        </svg>
        <figcaption>{say("stand.seen")}</figcaption>
      </figure>
    </>
  );
}
