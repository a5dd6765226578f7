import type { Waiting } from "../api/types";

/** Processor time for people: "40 s", "12 min", "3.5 h". */
export function hoursText(seconds: number): string {
  if (seconds < 60) return `${Math.round(seconds)} s`;
  if (seconds < 3600) return `${Math.round(seconds / 60)} min`;
  return `${(seconds / 3600).toFixed(1)} h`;
}

/** What waits in the queue, and since when. */
export function queueText(queue: Waiting[]): string {
  const waiting = queue.filter((q) => q.state === "queued");
  const count = waiting.reduce((sum, q) => sum + q.jobs, 0);
  if (count === 0) return "Nothing waits.";
  const oldest = Math.max(...waiting.map((q) => q.oldest));
  return `${count === 1 ? "1 piece of work waits" : `${count} pieces of work wait`}, the oldest for ${hoursText(oldest)}.`;
}
