// A skeleton as it is drawn.

/** Its bones, as indices of the 17 joints, from the trunk outwards. */
export const bones: readonly { from: number; to: number; side: "left" | "right" | "trunk" }[] = [
  { from: 5, to: 6, side: "trunk" }, { from: 11, to: 12, side: "trunk" }, { from: 5, to: 11, side: "trunk" }, { from: 6, to: 12, side: "trunk" },
  { from: 5, to: 7, side: "left" }, { from: 7, to: 9, side: "left" }, { from: 6, to: 8, side: "right" }, { from: 8, to: 10, side: "right" },
  { from: 11, to: 13, side: "left" }, { from: 13, to: 15, side: "left" }, { from: 12, to: 14, side: "right" }, { from: 14, to: 16, side: "right" },
];
