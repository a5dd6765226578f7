// A verdict on a gap: by shape and colour and word. The words are the server's;
// the shapes are those burned into the clips.
import type { Judged, Verdict } from "../api/types";
import { useSaid } from "../said/language";
import { saidIn, type Key, type Said } from "../said/say";

const looks: Record<Exclude<Verdict, "">, { class: string; shape: string }> = {
  "too firm": { class: "verdict-firm", shape: "M10 1l9.5 17h-19z" },
  "in the band": { class: "verdict-in", shape: "M10 1a9 9 0 1 0 .01 0z" },
  soft: { class: "verdict-soft", shape: "M10 19L.5 2h19z" },
  "too soft": { class: "verdict-too-soft", shape: "M2 2h16v16H2z" },
};

const names: Record<Exclude<Verdict, "">, Key> = { "too firm": "verdict.tooFirm", "in the band": "verdict.inTheBand", soft: "verdict.soft", "too soft": "verdict.tooSoft" };

/** What a verdict is called; empty while there is none. */
export const verdictName = ({ say }: Said, verdict: Verdict): string => (verdict === "" ? "" : say(names[verdict]));

/** "on the edge of too soft": which verdict lies beyond the edge; empty on none. */
export function edgeText(edgeOf: Verdict | undefined, said: Said = saidIn("en")): string {
  if (edgeOf === "in the band") return said.say("verdict.edgeOfBand");
  return edgeOf ? said.say("verdict.edgeOf", { other: verdictName(said, edgeOf) }) : "";
}

/** A verdict as it is told in words, "too soft, on the edge of soft, so far"; empty while there is none. */
export function verdictText({ verdict, edgeOf, soFar }: Pick<Judged, "verdict" | "edgeOf" | "soFar">, said: Said = saidIn("en")): string {
  if (verdict === "") return "";
  return [verdictName(said, verdict), edgeText(edgeOf, said), soFar ? said.say("verdict.soFar") : ""].filter((s) => s).join(", ");
}

/** Lines that fit into a tip: a long one goes on after its first comma. */
export const folded = (lines: string[]): string[] => lines.flatMap((l) => (l.length > 34 && l.includes(", ") ? [l.slice(0, l.indexOf(", ") + 1), l.slice(l.indexOf(", ") + 2)] : [l]));

/** soFar: it hangs on few reps. */
export function VerdictMark({ verdict, edgeOf, soFar = false }: { verdict: Verdict; edgeOf?: Verdict | undefined; soFar?: boolean | undefined }) {
  const said = useSaid();
  if (verdict === "") return null;
  const look = looks[verdict];
  return (
    <span class={`verdict ${look.class}`}>
      <svg viewBox="0 0 20 20" aria-hidden="true"><path d={look.shape} /></svg>
      <span>{verdictName(said, verdict)}{(edgeOf || soFar) && <span class="edge">{edgeOf && `, ${edgeText(edgeOf, said)}`}{soFar && `, ${said.say("verdict.soFar")}`}</span>}</span>
    </span>
  );
}

/** The verdict of a rep, or why there is none. */
export function Judgement({ judged }: { judged: Judged }) {
  if (judged.verdict !== "") return <VerdictMark verdict={judged.verdict} edgeOf={judged.edgeOf} soFar={judged.soFar} />;
  return judged.pending ? <span class="verdict verdict-pending">{judged.pending}</span> : null;
}
