// A clip on a page that a private link opens, to be looked at and saved.
import type { ComponentChildren } from "preact";
import { useSaid } from "../said/language";
import { bytesText } from "../words/size";
import { usePlayed } from "./played";

export interface FramedClip {
  file: string;
  captions: string;
  language: string;
  fileName: string;
  bytes: number;
}

interface Props {
  clip: FramedClip;
  title: string;
  class?: string;
  id?: string | undefined;
  children?: ComponentChildren;
}

/** Its first picture is shown before it is played; some phones show none unless they are sent to one. */
export function ClipFigure({ clip, title, class: name, id, children }: Props) {
  const { say } = useSaid();
  const { played, problem, failed } = usePlayed(clip);
  return (
    <figure class={name} id={id}>
      <video src={`${played.file}#t=0.001`} controls playsInline preload="metadata" aria-label={title} onError={failed}>
        <track kind="captions" src={played.captions} srcLang={clip.language} label={say("clip.captions")} />
      </video>
      {problem && <p class="notice alarm">{say("clip.cantPlay")}</p>}
      <figcaption class="of-clip">
        <b>{title}</b>
        <a class="button no-print" href={clip.file} download={clip.fileName}>{say("clip.save", { size: bytesText(clip.bytes) })}</a>
      </figcaption>
      {children}
    </figure>
  );
}
