// The clips that were chosen, to be looked at and saved.
import type { SharedClip } from "../api/types";
import { ClipFigure } from "../links/clip-figure";
import { useSaid } from "../said/language";
import type { Said } from "../said/say";

/** What a clip shows: "Rep 3, change-up", "Rep 3, change-up, beside rep 1, fastball". */
export function clipTitle(said: Said, clip: SharedClip): string {
  const [off, fast] = clip.reps.map((r) => ({ order: r.order, pitch: said.say(`pitch.${r.pitch}`) }));
  if (!off) return "";
  return fast
    ? said.say("share.pairTitle", { order: off.order, pitch: off.pitch, otherOrder: fast.order, otherPitch: fast.pitch })
    : said.say("share.clipTitle", { order: off.order, pitch: off.pitch });
}

/** Where the film of a rep by itself stands on the page. */
export const filmOf = (order: number): string => `rep-${order}`;

export function Clips({ clips }: { clips: readonly SharedClip[] }) {
  const names = clipNames(clips);
  return <div class="clips-in-a-row">{clips.map((c, i) => <Shared key={names[i]} clip={c} />)}</div>;
}

/** What each clip is known by while the page is read again and again: its address is another each time. */
export function clipNames(clips: readonly SharedClip[]): string[] {
  const names = clips.map((c) => `${c.kind} ${c.reps.map((r) => r.order).join(" ")}`);
  return names.map((name, i) => `${name}, ${names.slice(0, i).filter((n) => n === name).length}`);
}

function Shared({ clip }: { clip: SharedClip }) {
  const said = useSaid();
  return (
    <ClipFigure class="shared-clip" clip={clip} title={clipTitle(said, clip)} id={clip.kind === "single" && clip.reps[0] ? filmOf(clip.reps[0].order) : undefined}>
      {clip.older && <p class="quiet">{said.say("share.older")}</p>}
    </ClipFigure>
  );
}
