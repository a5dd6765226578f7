// How to film a bullpen, in four pictures (common practice, no source).
import type { ComponentChildren } from "preact";

function Figure({ says, label, children }: { says: string; label: string; children: ComponentChildren }) {
  return (
    <figure>
      <svg viewBox="0 0 240 150" role="img" aria-label={label}>{children}</svg>
      <figcaption>{says}</figcaption>
    </figure>
  );
}

/** She at the top of her circle, her stride foot in the air; origin at her drive foot. */
function Her({ x, y, scale }: { x: number; y: number; scale: number }) {
  return (
    <g transform={`translate(${x} ${y}) scale(${scale})`} class="line">
      <circle class="solid" cx="18" cy="-92" r="9" />
      <path d="M17 -82L12 -46M12 -46L4 -22L-4 0M12 -46L34 -32L46 -8M16 -78L6 -106L14 -122M17 -76L40 -66" />
      <circle class="ball" cx="16" cy="-128" r="6" />
    </g>
  );
}

const phone = (x: number, y: number) => <rect class="phone" x={x - 6} y={y - 11} width="12" height="22" rx="2.5" />;

export function HowToFilm() {
  return (
    <div class="how-to-film">
      <Figure says="From the side of her throwing arm, square to the line." label="From above: pitcher and catcher on a line; the phone stands to the side of her throwing arm, square to that line.">
        <path class="dash" d="M48 48H196" />
        <circle class="solid" cx="44" cy="48" r="10" />
        <path class="line" d="M196 38h14v20h-14z" />
        <path class="view" d="M44 128L4 30M44 128L84 30" />
        <path class="line" d="M44 112V70M38 78l6 -9l6 9" />
        {phone(44, 130)}
      </Figure>
      <Figure says="Phone still, as high as her hips." label="The phone stands on a tripod as high as her hips.">
        <path class="ground" d="M8 136H232" />
        <Her x={150} y={136} scale={0.92} />
        <path class="line" d="M56 136L66 98L76 136M66 98V96" />
        {phone(66, 84)}
        <path class="dash" d="M82 90H142" />
      </Figure>
      <Figure says="All of her in the picture, hand to foot, to the end." label="On the phone’s screen all of her is seen, with room above the hand and in front of the foot.">
        <rect class="screen-of-phone" x="14" y="8" width="212" height="134" rx="10" />
        <path class="ground" d="M17 128H223" />
        <Her x={92} y={128} scale={0.82} />
        <path class="dash" d="M144 124H206" />
      </Figure>
      <Figure says="Gun behind the catcher, and near enough to hear the glove." label="The radar gun stands behind the catcher; the phone is near enough to hear the ball hit the glove.">
        <path class="dash" d="M34 60H150" />
        <circle class="solid" cx="30" cy="60" r="10" />
        <path class="line" d="M150 50h14v20h-14z" />
        <path class="sound" d="M138 44q8 16 0 32M130 38q12 22 0 44" />
        <path class="line" d="M196 52h24v10h-10l-3 14h-8l2 -14h-5z" />
        {phone(30, 128)}
        <path class="dash" d="M122 80L46 122" />
      </Figure>
    </div>
  );
}
