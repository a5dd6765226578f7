// On the first page: readings from the field that wait, and the link for the phone.
import { ask, sentenceOf } from "../api/client";
import type { Lesson } from "../api/types";
import { Link, navigate } from "../shell/router";
import { to } from "../shell/routes";
import { say } from "../shell/say";
import { dayText } from "../words/speed";

export function Lessons({ lessons }: { lessons: readonly Lesson[] }) {
  if (lessons.length === 0) return null;
  return (
    <section aria-labelledby="lessons">
      <h2 id="lessons">From the field</h2>
      <ul class="cards">{lessons.map((l) => <LessonItem key={`${l.pitcherId} ${l.day} ${l.bullpenId ?? ""}`} lesson={l} />)}</ul>
    </section>
  );
}

function LessonItem({ lesson: l }: { lesson: Lesson }) {
  const begin = () =>
    ask("post", "/api/bullpens", { body: { pitcherId: l.pitcherId, day: l.day } }).then((pen) => navigate(to.bullpen(pen.id)), (failure: unknown) => say(sentenceOf(failure), true));
  return (
    <li class="card item">
      <h3>{l.bullpenId ? <Link to={to.bullpen(l.bullpenId)}>{l.pitcher}, {dayText(l.day)}</Link> : `${l.pitcher}, ${dayText(l.day)}`}</h3>
      <p>{l.entries === 1 ? "One reading waits" : `${l.entries} readings wait`} for {l.entries === 1 ? "its rep" : "their reps"}.</p>
      {!l.bullpenId && <button type="button" class="button" onClick={() => void begin()}>Begin her bullpen</button>}
    </li>
  );
}
