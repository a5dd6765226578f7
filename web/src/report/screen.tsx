// One page to print for pitcher and parent, in their language: what it says in one line,
// the target, her delivery, and what comes next. Everything else is on the bullpen's page.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { DeliverySheet, Sheet, Told } from "../api/types";
import { useSheet } from "../api/use-sheet";
import { checkOf, repsOf } from "../bullpen/body";
import { DeliveryPicture, useDelivery } from "../parts/delivery-sheet";
import { Target } from "../pictures/target";
import { Why } from "../pictures/why";
import { InLanguage, LanguageSwitch, useSaid } from "../said/language";
import { pitchName } from "../said/names";
import { languageOf, saidIn, type Language } from "../said/say";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { sameDrill } from "../words/drill";
import { useNarrow } from "../parts/use-narrow";

export function ReportScreen({ bullpenId }: { bullpenId: string }) {
  const { sheet, problem } = useSheet(bullpenId);
  // A choice here is for this paper; hers is set on her page.
  const [chosen, choose] = useState<Language>();
  const language = chosen ?? languageOf(sheet?.pitcher.language) ?? "en";
  const { told, failure, again } = useTold(sheet, language);
  const delivery = useDelivery(bullpenId, sheet?.revision ?? 0, "", "", language);
  const { say } = saidIn(language);
  if (sheet && !told && failure) {
    return (
      <div class="row">
        <p class="notice alarm" role="alert">{failure}</p>
        <button type="button" class="button" onClick={again}>{say("tryAgain")}</button>
        <LanguageSwitch language={language} choose={choose} />
      </div>
    );
  }
  if (!sheet || !told) return problem ? <p class="notice alarm" role="alert">{problem}</p> : <p class="quiet">{say("report.opens")}</p>;
  return (
    <InLanguage language={language}>
      <div class="row no-print">
        <button type="button" class="button primary" onClick={() => print()}>{say("report.print")}</button>
        <Link class="button" to={to.bullpen(bullpenId)}>{say("report.back")}</Link>
        <LanguageSwitch language={language} choose={choose} />
        {failure && <button type="button" class="button" onClick={again}>{say("tryAgain")}</button>}
      </div>
      {failure && <p class="notice alarm no-print" role="alert">{failure}</p>}
      <Page sheet={sheet} told={told} delivery={delivery} />
    </InLanguage>
  );
}

/** What is told of the bullpen in a language, read again when something inside changed. */
function useTold(sheet: Sheet | undefined, language: Language): { told: Told | undefined; failure: string; again: () => void } {
  const [told, setTold] = useState<Told>();
  const [failure, setFailure] = useState("");
  const [asked, setAsked] = useState(0);
  const id = sheet?.bullpen.id;
  useEffect(() => {
    if (!id) return;
    const stop = new AbortController();
    setFailure("");
    ask("get", "/api/bullpens/{id}/told", { path: { id }, query: { language }, signal: stop.signal }).then(setTold, (failed: unknown) => !stop.signal.aborted && setFailure(sentenceOf(failed)));
    return () => stop.abort();
  }, [id, sheet?.revision, language, asked]);
  return { told: told?.language === language ? told : undefined, failure, again: () => setAsked((n) => n + 1) };
}

export function Page({ sheet, told, delivery }: { sheet: Sheet; told: Told; delivery?: DeliverySheet | null | undefined }) {
  const said = useSaid();
  const { say, day, language } = said;
  const narrow = useNarrow();
  const { bullpen, pitcher } = sheet;
  const summary = sheet.summaries.find((s) => s.meanGap && s.pitch === told.pitch && sameDrill(s.drill, told.drill ?? "") && s.gun === told.gun);
  return (
    <article class="paper" lang={language} aria-label={say("report.label")}>
      <header>
        <p>{pitcher.label}. {day(bullpen.day)}. {say("reps", { n: sheet.reps.length })}.</p>
        <h1 class="headline">{told.headline || say("report.nothing")}</h1>
        {told.others.map((line) => <p key={line}>{line}</p>)}
      </header>
      {summary && (
        <Target reps={repsOf(sheet, summary)} summary={summary} check={checkOf(sheet, summary)} unit={pitcher.unit}
          baseline={pitchName(said, pitcher.baselinePitch)} width={narrow ? 310 : 700} height={narrow ? 290 : 300} />
      )}
      {delivery && <DeliveryPicture facts={delivery} />}
      {summary?.moment && <Why moment={summary.moment} pitch={summary.pitch} unit={pitcher.unit} width={narrow ? 310 : 640} still />}
      {told.next && <p class="next"><b>{say("report.next")}</b> {told.next}</p>}
      {told.moves && <p>{told.moves}</p>}
      {told.tell && <p>{told.tell}</p>}
      {bullpen.note && <section class="said"><h2>{say("report.note")}</h2><p class="note">{bullpen.note}</p></section>}
      <footer><p>{say("report.caution")}</p></footer>
    </article>
  );
}
