// The films: those on their way, those that stood still when the page was closed,
// and those that have arrived.
import type { Arriving, SlipFilm } from "../api/types";
import { useSaid } from "../said/language";
import type { Said } from "../said/say";
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
  const { say } = useSaid();
  const mine = new Set(sendings.map((s) => s.address && idIn(s.address)));
  const left = arriving.filter((a) => !mine.has(a.id));
  if (sendings.length + left.length + films.length === 0) return null;
  return (
    <ul class="films">
      {sendings.map((s) => <Moving key={s.id} sending={s} pause={pause} resume={resume} remove={remove} />)}
      {left.map((a) => (
        <li key={a.id} class="standing">
          <p class="name"><span>{a.name}</span><span>{share(a.received, a.bytes)}</span></p>
          <progress class="bar-of-progress" max={a.bytes} value={a.received} aria-label={say("films.soFar", { name: a.name })} />
          <p>{say("films.interrupted", { part: bytesText(a.received), whole: bytesText(a.bytes) })}</p>
          <div class="row">
            {choose}
            <button type="button" class="button" onClick={() => drop(a.id)}>{say("films.giveUp")}</button>
          </div>
        </li>
      ))}
      {films.map((f) => (
        <li key={f.id} class={f.state === "refused" ? "standing" : "there"}>
          <p class="name"><span>{f.name}</span><span>{bytesText(f.bytes)}</span></p>
          <p>{f.state === "refused" ? f.refusal : say("films.arrived")}</p>
        </li>
      ))}
    </ul>
  );
}

function Moving({ sending: s, pause, resume, remove }: { sending: Sending<File> } & Pick<Props, "pause" | "resume" | "remove">) {
  const said = useSaid();
  const { say } = said;
  const moving = s.state === "sending" || s.state === "waiting";
  return (
    <li class={moving ? "moving" : "standing"} data-state={s.state}>
      <p class="name"><span>{s.file.name}</span><span>{share(s.sent, s.file.size)}</span></p>
      <progress class="bar-of-progress" max={s.file.size} value={s.sent} aria-label={say("films.sentOf", { name: s.file.name })} />
      <p role="status">{stateText(s, said)}</p>
      <div class="row">
        {moving && <button type="button" class="button" onClick={() => pause(s.id)}>{say("films.pause")}</button>}
        {s.state === "paused" && <button type="button" class="button primary" onClick={() => resume(s.id)}>{say("films.goOn")}</button>}
        {s.state === "interrupted" && <button type="button" class="button primary" onClick={() => resume(s.id)}>{say("films.tryNow")}</button>}
        <button type="button" class="button" onClick={() => remove(s.id)}>{say(s.state === "refused" ? "films.takeOff" : "films.giveUp")}</button>
      </div>
    </li>
  );
}

function stateText(s: Sending, { say }: Said): string {
  switch (s.state) {
    case "sending":
      // What has left the phone may still be under way.
      if (s.sent >= s.file.size) return say("films.allLeft");
      return say("films.sent", { part: bytesText(s.sent), whole: bytesText(s.file.size) });
    case "waiting":
      return say("films.waits");
    case "paused":
      return say("films.paused");
    case "interrupted":
      return say(s.lost ? "films.signalGone" : "films.noAnswer");
    default:
      return s.note;
  }
}

export function share(part: number, whole: number): string {
  return `${whole > 0 ? Math.floor((100 * part) / whole) : 0} %`;
}
