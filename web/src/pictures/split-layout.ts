// Where the parts of a split gap lie: one bar from the fastball's speed down to
// the off-speed pitch's, the legs' part first, and round the border between the
// two the stretch in which it may really lie.

/** A gap and its two parts, all in one unit. */
export interface Parts {
  gap: number;
  body: number;
  bodyLo: number;
  bodyHi: number;
}

export interface SplitLayout {
  x0: number;
  x1: number;
  /** Where the legs' part ends and the hand's begins. */
  border: number;
  /** The border lies between these, as far as the film can tell. */
  unsure: { x0: number; x1: number };
}

/**
 * Lays the parts out over the given width. A border outside the bar is drawn at
 * its end: legs that were faster gave nothing of the gap, and one that gave more
 * than all of it gave all.
 */
export function layOutSplit({ gap, body, bodyLo, bodyHi }: Parts, width: number): SplitLayout {
  const at = (part: number) => (gap > 0 ? Math.min(Math.max(part / gap, 0), 1) * width : 0);
  return { x0: 0, x1: width, border: at(body), unsure: { x0: at(bodyLo), x1: at(bodyHi) } };
}

/** The middle of words so wide that are to stand at a place and inside the width. */
export function besideIn(at: number, wide: number, width: number): number {
  return Math.max(Math.min(at, width - wide / 2), Math.min(wide, width) / 2);
}
