// The clips that were chosen, to be looked at and saved.
import { useState } from "preact/hooks";
import type { SharedClip } from "../api/types";
import { useSaid } from "../said/language";
import type { Said } from "../said/say";
import { bytesText } from "../words/size";

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
  return <div class="shared-clips">{clips.map((c) => <ClipFigure key={c.file.split("?")[0]} clip={c} />)}</div>;
}

/** Its first picture is shown before it is played; some phones show none unless they are sent to one. */
function ClipFigure({ clip }: { clip: SharedClip }) {
  const said = useSaid();
  // Its ticket is another each time the page is read; the film goes on with the one it began with.
  const [{ file, captions }] = useState(clip);
  const [problem, setProblem] = useState(false);
  const title = clipTitle(said, clip);
  return (
    <figure class="shared-clip" id={clip.kind === "single" && clip.reps[0] ? filmOf(clip.reps[0].order) : undefined}>
      <video src={`${file}#t=0.001`} controls playsInline preload="metadata" aria-label={title} onError={() => setProblem(true)}>
        <track kind="captions" src={captions} srcLang="en" label={said.say("share.captions")} />
      </video>
      {problem && <p class="notice alarm">{said.say("share.cantPlay")}</p>}
      <figcaption>
        <b>{title}</b>
        <a class="button no-print" href={file} download={clip.fileName}>{said.say("share.save", { size: bytesText(clip.bytes) })}</a>
      </figcaption>
      {clip.older && <p class="quiet">{said.say("share.older")}</p>}
    </figure>
  );
}
