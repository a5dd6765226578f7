// What a starter workout is about, in a small picture of our own.
import type { Starter } from "../api/types";

const what: Record<Starter["key"], string> = {
  legs: "Two strides side by side, as long and as quick on the change-up as on the fastball.",
  arm: "One whole arm circle.",
  blend: "Two grips, and the same pitcher behind both.",
};

export function WorkoutSketch({ of }: { of: Starter["key"] }) {
  return (
    <svg class="workout-sketch" viewBox="0 0 120 72" width="120" height="72" role="img" aria-label={what[of]}>
      {of === "legs" && <><path d="M30 14L24 34L12 62M24 34L44 48L52 62M78 14L72 34L60 62M72 34L92 48L100 62" /><path class="faint" d="M6 64H114" /><circle cx="31" cy="8" r="5" /><circle cx="79" cy="8" r="5" /></>}
      {of === "arm" && <><path class="faint" d="M60 36m-26 0a26 26 0 1 1 20 25.3" /><path d="M54 61l8 5l1 -10M60 36L80 20" /><circle class="ball" cx="84" cy="17" r="6" /></>}
      {of === "blend" && <><circle class="ball" cx="30" cy="30" r="14" /><circle class="ball" cx="90" cy="30" r="14" /><path d="M24 18q6 6 0 24M36 18q-6 6 0 24M78 24q12 5 24 0M78 36q12 -5 24 0" /><path class="faint" d="M30 52q30 20 60 0" /></>}
    </svg>
  );
}
