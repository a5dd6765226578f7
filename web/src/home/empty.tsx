// The first page before anything is there: one invitation, how to film, the demo.
import { PickFilms, useIntake } from "../intake/drop";
import { CopyButton } from "../parts/copy-button";
import { HowToFilm } from "../pictures/filming";

const demo = "tenoff demo";

export function EmptyHome({ problem }: { problem: string }) {
  const intake = useIntake();
  return (
    <>
      <header class="welcome">
        <h1>Ten off the fastball, same body</h1>
        <p>Drop the films of a bullpen anywhere on this page to begin.</p>
        <div class="row">
          <PickFilms primary>Begin with film</PickFilms>
          <button type="button" class="button" onClick={() => intake.newBullpen()}>New bullpen without film</button>
        </div>
      </header>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      <section aria-labelledby="filming">
        <h2 id="filming">How to film it</h2>
        <HowToFilm />
      </section>
      <section aria-labelledby="demo">
        <h2 id="demo">No film at hand?</h2>
        <p>The demo shows a season of three drawn pitchers, apart from your own. Stop tenoff, then start it with:</p>
        <div class="row"><code>{demo}</code><CopyButton text={demo}>Copy</CopyButton></div>
      </section>
      <p class="quiet caution">All films stay on this machine, or in your academy’s own storage. Stop for pain, numbness or loss of control. League rules and licensed professionals come first.</p>
    </>
  );
}
