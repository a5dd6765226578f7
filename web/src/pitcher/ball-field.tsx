// Which ball is thrown.
import type { Level } from "../api/types";

const balls: readonly Level["ballKind"][] = ["12 in", "11 in", "baseball"];

export function BallField({ ball, onChange }: { ball: Level["ballKind"]; onChange: (ball: Level["ballKind"]) => void }) {
  return (
    <label class="field"><span>Ball</span><select class="input" value={ball} onChange={(e) => onChange(e.currentTarget.value as Level["ballKind"])}>{balls.map((b) => <option key={b}>{b}</option>)}</select></label>
  );
}
