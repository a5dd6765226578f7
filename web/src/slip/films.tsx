// The films: those on their way, those that stood still when the page was closed,
// and those that have arrived.
import type { Arriving, SlipFilm } from "../api/types";
import { bytesText } from "../words/size";
import { idIn } from "./known";
import type { Sending } from "./sendings";

interface Props {
  sendings: readonly Sending<File>[];
  arriving: readonly Arriving[];
  films: readonly SlipFilm[];
  pause: (id: number) => void;
  resume: (id: number) => void;
  remove: (id: number) => void;
  /** Gives up an upload that the server has. */
  drop: (id: string) => void;
  choose: preact.ComponentChildren;
}

export function Films({ sendings, arriving, films, pause, resume, remove, drop, choose }: Props) {
  const mine = new Set(sendings.map((s) => s.address && idIn(s.address)));
  const left = arriving.filter((a) => !mine.has(a.id));
  if (sendings.length + left.length + films.length === 0) return null;
  return (
    <ul class="films">
      {sendings.map((s) => <Moving key={s.id} sending={s} pause={pause} resume={resume} remove={remove} />)}
      {left.map((a) => (
        <li key={a.id} class="standing">
          <p class="name"><span>{a.name}</span><span>{share(a.received, a.bytes)}</span></p>
          <progress class="bar-of-progress" max={a.bytes} value={a.received} aria-label={`${a.name}, so far`} />
          <p>Interrupted. {bytesText(a.received)} of {bytesText(a.bytes)} {a.received > 0 ? "are safe" : "have arrived"}. Choose the same film again and it goes on from there.</p>
          <div class="row">
            {choose}
            <button type="button" class="button" onClick={() => drop(a.id)}>Give it up</button>
          </div>
        </li>
      ))}
      {films.map((f) => (
        <li key={f.id} class={f.state === "refused" ? "standing" : "there"}>
          <p class="name"><span>{f.name}</span><span>{bytesText(f.bytes)}</span></p>
          <p>{f.state === "refused" ? f.refusal : "It has arrived, whole."}</p>
        </li>
      ))}
    </ul>
  );
}

function Moving({ sending: s, pause, resume, remove }: { sending: Sending<File> } & Pick<Props, "pause" | "resume" | "remove">) {
  const moving = s.state === "sending" || s.state === "waiting";
  return (
    <li class={moving ? "moving" : "standing"} data-state={s.state}>
      <p class="name"><span>{s.file.name}</span><span>{share(s.sent, s.file.size)}</span></p>
      <progress class="bar-of-progress" max={s.file.size} value={s.sent} aria-label={`${s.file.name}, sent`} />
      <p role="status">{said(s)}</p>
      <div class="row">
        {moving && <button type="button" class="button" onClick={() => pause(s.id)}>Pause</button>}
        {s.state === "paused" && <button type="button" class="button primary" onClick={() => resume(s.id)}>Go on</button>}
        {s.state === "interrupted" && <button type="button" class="button primary" onClick={() => resume(s.id)}>Try now</button>}
        <button type="button" class="button" onClick={() => remove(s.id)}>{s.state === "refused" ? "Take it off" : "Give it up"}</button>
      </div>
    </li>
  );
}

function said(s: Sending): string {
  switch (s.state) {
    case "sending":
      // What has left the phone may still be under way.
      if (s.sent >= s.file.size) return "All of it has left your phone. Wait until it has arrived.";
      return `${bytesText(s.sent)} of ${bytesText(s.file.size)} sent.`;
    case "waiting":
      return "Waits for its turn.";
    case "paused":
      return "Paused.";
    default:
      return s.note;
  }
}

export function share(part: number, whole: number): string {
  return `${whole > 0 ? Math.floor((100 * part) / whole) : 0} %`;
}
