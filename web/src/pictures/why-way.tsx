import type { Lane } from "./why-layout";

/** The way from the hand to the plate, which stands at its end. */
export function Way({ lane, y }: { lane: Lane; y: number }) {
  const p = lane.to + 24;
  return (
    <>
      <line class="lane" x1={lane.from} x2={lane.to} y1={y} y2={y} />
      <path class="plate" d={`M${p} ${y - 8}h7l6 8-6 8h-7z`} />
    </>
  );
}
