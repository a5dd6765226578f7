// The first page: begin a bullpen, or go on with one.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { Home } from "../api/types";
import { PickFilms, useIntake } from "../intake/drop";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { dayText } from "../words/speed";

export function HomeScreen() {
  const intake = useIntake();
  const [home, setHome] = useState<Home>();
  const [problem, setProblem] = useState("");
  useEffect(() => {
    ask("get", "/api/home").then(setHome, (failure) => setProblem(sentenceOf(failure)));
  }, []);
  return (
    <>
      <h1>Ten off the fastball, same body</h1>
      <div class="row">
        <PickFilms primary>Begin with film</PickFilms>
        <button type="button" class="button" onClick={() => intake.newBullpen()}>New bullpen without film</button>
      </div>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <ul>
        {home?.bullpens.map((b) => (
          <li key={b.id}><Link to={to.filmRoom(b.id)}>{b.pitcherLabel}, {dayText(b.day)}{b.title && `: ${b.title}`}</Link> ({b.reps} reps)</li>
        ))}
      </ul>
    </>
  );
}
