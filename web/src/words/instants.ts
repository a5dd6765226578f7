// The four instants of a delivery in words.

/** What happens at each. */
export const sense: Record<"drive" | "plant" | "top" | "release", string> = {
  drive: "the stride foot leaves",
  plant: "the front foot lands",
  top: "the hand passes 12 o’clock",
  release: "the ball leaves the hand",
};
