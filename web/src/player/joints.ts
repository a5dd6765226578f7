// Her joints for the frame on show: asked for a run of frames at a time, and kept.
import { ask } from "../api/client";
import type { Joints } from "../api/types";

/** The asking, so that tests need no server. */
export type AskJoints = (film: string, frame: number) => Promise<Joints>;

const fromServer: AskJoints = (film, frame) => ask("get", "/api/films/{id}/joints", { path: { id: film }, query: { frame } });

export class JointsLayer {
  on = false;
  private runs: { film: string; revision: number; run: Joints }[] = [];
  /** What was asked for, of both films that stand side by side. */
  private readonly asked = new Set<string>();

  constructor(
    private readonly changed: () => void,
    private readonly get: AskJoints = fromServer,
  ) {}

  toggle(): void {
    this.on = !this.on;
    this.asked.clear(); // what failed is asked for again
    this.changed();
  }

  /**
   * The run that a frame lies in, undefined until it is known. What was not found is asked
   * for again when the bullpen has another revision: it may have been looked for meanwhile.
   */
  at(film: string, frame: number, revision: number): Joints | undefined {
    const known = this.runs.find((r) => r.film === film && r.run.from <= frame && frame <= r.run.to && (r.run.found || r.revision === revision));
    if (!known) void this.fetch(film, frame, revision);
    return known?.run;
  }

  private async fetch(film: string, frame: number, revision: number): Promise<void> {
    const what = `${film} ${frame} ${revision}`;
    if (this.asked.has(what)) return;
    this.asked.add(what);
    try {
      const run = await this.get(film, frame);
      this.runs = [...this.runs.filter((r) => r.film !== film || r.run.to < run.from || r.run.from > run.to), { film, revision, run }];
      this.changed();
    } catch {
      // The next frame asks again; the film itself says what is wrong.
    }
  }
}

/** A joint is drawn from here on; below, it is not seen. */
export const leastSure = 0.3;

/** The pose of a frame; of one that repeats the frame before it, that one's. */
export function poseAt(run: Joints, frame: number): Joints["poses"][number] | undefined {
  let last: Joints["poses"][number] | undefined;
  for (const pose of run.poses) {
    if (pose.frame > frame) break;
    last = pose;
  }
  return last;
}
