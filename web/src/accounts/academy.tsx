// What all instructors share, for its owner: who takes how much, what waits, what failed. One
// who coaches alone has nobody to be set beside: of her it is said in words.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Academy as AcademyPage } from "../api/types";
import { bytesText } from "../words/size";
import { hoursText, queueText } from "./words";

export function Academy() {
  const [academy, setAcademy] = useState<AcademyPage>();
  const [problem, setProblem] = useState("");
  useEffect(() => void ask("get", "/api/academy").then(setAcademy, (failure) => setProblem(sentenceOf(failure))), []);
  if (!academy) return problem ? <p class="notice alarm" role="alert">{problem}</p> : null;
  const alone = academy.uses.length < 2;
  return (
    <section aria-labelledby="academy">
      <h2 id="academy">{alone ? "Room and work" : "Who uses how much"}</h2>
      {!alone && <div class="scroll" tabIndex={0} role="region" aria-label="Use by instructor">
        <table class="ledger-table">
          <thead><tr><th scope="col">Instructor</th><th scope="col">Pitchers</th><th scope="col">Bullpens</th><th scope="col">Films</th><th scope="col">Disk</th><th scope="col">Processor this month</th><th scope="col">Last month</th><th scope="col">Waiting</th><th scope="col">Failed</th><th scope="col">Homework films stay</th></tr></thead>
          <tbody>
            {academy.uses.map((u, i) => (
              <tr key={i}>
                <th scope="row">{u.name || "No account"}{u.owner && ", owner"}</th>
                <td>{u.pitchers}</td><td>{u.bullpens}</td><td>{u.films}</td><td>{bytesText(u.bytes)}</td>
                <td>{hoursText(u.processor)}</td><td>{hoursText(u.processorBefore)}</td>
                <td>{u.waiting}</td><td>{u.failed + u.refused}</td>
                <td>{u.keepDays === 0 ? "for good" : `${u.keepDays} days`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>}
      <p class="quiet">{bytesText(academy.free)} of room left {academy.bucket ? "on this machine, for what is under way; the films lie in a bucket" : "where films lie"}. {queueText(academy.queue)} {alone && academy.uses.map(workText).join("")}Failed are films that can’t be used, and work that came to nothing; {alone ? "they are at Home" : "each instructor sees hers at Home"}.</p>
    </section>
  );
}

/** What the only one's work took, and what failed of it. */
const workText = (u: AcademyPage["uses"][number]): string =>
  `${hoursText(u.processor)} of processor this month, ${hoursText(u.processorBefore)} last month; ${u.failed + u.refused === 0 ? "nothing" : u.failed + u.refused} failed. `;
