// A workout as it is thrown: sets and their lines, with how each drill is done where
// it comes first.
import type { SlipDrill, WorkoutSet } from "../api/types";
import { useSaid } from "../said/language";
import { pitchName, setText } from "../said/names";

interface Props {
  sets: readonly WorkoutSet[];
  drills: readonly SlipDrill[];
}

export function Sets({ sets, drills }: Props) {
  const said = useSaid();
  const { say } = said;
  const told = new Set<string>();
  return (
    <ol class="sets">
      {sets.map((set, i) => (
        <li class="card" key={i}>
          <h3>{setText(said, sets, i)}{set.times > 1 && <span class="quiet">: {say("set.each")}</span>}</h3>
          <ol class="lines">
            {set.lines.map((line, j) => {
              const first = line.drill !== "" && !told.has(line.drill);
              told.add(line.drill);
              const drill = first ? drills.find((d) => d.name.toLowerCase() === line.drill.toLowerCase()) : undefined;
              return (
                <li key={j}>
                  <span class="count">{line.reps}<small> ×</small></span>
                  <span><b>{line.drill || say("set.fullPitch")}</b>, {pitchName(said, line.pitch)}</span>
                  {drill && (drill.howTo || drill.example) && (
                    <div class="how">
                      {drill.howTo && <p>{drill.howTo}</p>}
                      {drill.example && <p><a href={drill.example} target="_blank" rel="noreferrer">{say("set.example")}</a></p>}
                    </div>
                  )}
                </li>
              );
            })}
          </ol>
        </li>
      ))}
    </ol>
  );
}
