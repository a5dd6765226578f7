// Where the parts of a split gap lie: one bar from the fastball's speed down to
// the off-speed pitch's, the body's part first, and round the border between the
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
  /** Where the body's part ends and the hand's begins. */
  border: number;
  /** The border lies between these, as far as the film can tell. */
  unsure: { x0: number; x1: number };
}

/**
 * Lays the parts out over the given width. A border outside the bar is drawn at
 * its end: a body that was faster gave nothing of the gap, and one that gave more
 * than all of it gave all.
 */
export function layOutSplit({ gap, body, bodyLo, bodyHi }: Parts, width: number): SplitLayout {
  const at = (part: number) => (gap > 0 ? Math.min(Math.max(part / gap, 0), 1) * width : 0);
  return { x0: 0, x1: width, border: at(body), unsure: { x0: at(bodyLo), x1: at(bodyHi) } };
}

/** The gap and its parts in whole numbers that add up, the body's part no less than nothing and no more than all. */
export function whole(gap: number, body: number): { gap: number; body: number; hand: number } {
  const all = Math.round(gap);
  const part = Math.min(Math.max(Math.round(body), 0), Math.max(all, 0));
  return { gap: all, body: part, hand: all - part };
}
