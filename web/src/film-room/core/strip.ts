// The pictures along a film's timeline.

/** How many there are, and how many seconds of the file each stands for. */
export interface StripFacts {
  count: number;
  every: number;
}

/** Which of them stands for a time of the file; undefined while there is none. */
export function pictureAt({ count, every }: StripFacts, seconds: number): number | undefined {
  return count > 0 ? Math.min(Math.max(Math.floor(seconds / every), 0), count - 1) : undefined;
}
