// Did the body slow down? The verdict on one pitch, and where its gap came from.
import type { BodyCheck, Rep, Sheet, Summary, Unit } from "../api/types";
import { BodyMark } from "../parts/body-mark";
import type { BodyRep } from "../pictures/body-picture";
import { PacePicture } from "../pictures/pace-picture";
import { SplitBar } from "../pictures/split-bar";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { sameDrill } from "../words/drill";
import { paceText } from "../words/body";

/** The check that belongs to a summary; none for a bullpen that nobody filmed. */
export function checkOf(sheet: Sheet, s: Summary): BodyCheck | undefined {
  if (sheet.films.length === 0) return undefined;
  return sheet.body.checks.find((c) => c.pitch === s.pitch && sameDrill(c.drill, s.drill));
}

/** The reps that a summary is about. */
export function repsOf(sheet: Sheet, s: Summary): Rep[] {
  return sheet.reps.filter((r) => r.pitch === s.pitch && sameDrill(r.drill, s.drill) && (r.reading?.gun ?? s.gun) === s.gun);
}

/** The checks of pitches that nobody read with a gun: the film tells of the body all the same. */
export function unreadChecks(sheet: Sheet, judged: readonly Summary[]): BodyCheck[] {
  if (sheet.films.length === 0) return [];
  return sheet.body.checks.filter((c) => !judged.some((s) => s.pitch === c.pitch && sameDrill(s.drill, c.drill)));
}

/** The verdict on the body of one pitch, in a word and a sentence. */
export function BodyVerdict({ check }: { check: BodyCheck }) {
  return (
    <>
      <p class="body-verdict"><BodyMark verdict={check.verdict} on={check.on} /></p>
      <p>{check.sentence}</p>
    </>
  );
}

/** What the verdict rests on, and where the gap came from; baseline is what her baseline pitch is called. */
export function BodyDepth({ sheet, check, unit, baseline }: { sheet: Sheet; check: BodyCheck; unit: Unit; baseline: string }) {
  const shown = sheet.reps.find((r) => r.pitch === check.pitch && sameDrill(r.drill, check.drill) && r.filmId && r.release !== undefined);
  return (
    <div class="body-finding">
      <h3>Did the body, legs or arm, slow down?</h3>
      {check.softest && <p>{check.softest}</p>}
      {check.on && <p class="quiet">All reps of the pitch together:</p>}
      {check.legs && <PacePicture legs={check.legs} arm={check.arm} baseline={baseline} open={check.verdict === "can't tell"} />}
      {check.split && (
        <>
          <h4>What took the {check.split.gapWords} off</h4>
          <SplitBar split={check.split} unit={unit} />
          <p class="quiet fine">{check.split.rule}</p>
        </>
      )}
      {check.notes.map((note) => <p key={note} class="quiet fine">{note}</p>)}
      {check.verdict === "can't tell" && shown && (
        <p>
          {timed(check) && <Link to={to.sideBySide(shown.id)}>Look at it side by side with the {baseline}</Link>}
          {check.reason === "too few reps" && " or "}
          {(check.reason === "too few reps" || !timed(check)) && <Link to={to.filmRoom(sheet.bullpen.id, shown.id)}>{timed(check) ? "mark more in the film room" : "Mark them in the film room"}</Link>}
        </p>
      )}
    </div>
  );
}

/** There is enough to compare, whatever it says. */
function timed(check: BodyCheck): boolean {
  return check.reason !== "no fastballs" && check.reason !== "no off-speed";
}

/** The reps whose body speed is known, in the order thrown. */
export function paced(reps: readonly Rep[]): BodyRep[] {
  return reps.flatMap((r) => {
    const legs = r.body?.legs;
    if (!legs) return [];
    return [{ ...legs, lo: legs.percent - legs.u, hi: legs.percent + legs.u, id: r.id, order: r.order, pitch: r.pitch, pitchName: r.pitchName, slowed: r.body?.verdict === "slowed body", arm: r.body?.arm ? paceText(r.body.arm) : "" }];
  });
}
