// In which language a page is read: as the reader chose on it, else as the link says
// (the pitcher's own language), else as her browser does.
import { createContext, type ComponentChildren } from "preact";
import { useContext, useEffect, useState } from "preact/hooks";
import { languageOf, languages, plainlyIn, saidIn, type Language, type Said } from "./say";

const name = "tenoff-language";

/** What was chosen on this device. */
export function chosenLanguage(): Language | undefined {
  try {
    return languageOf(localStorage.getItem(name) ?? undefined);
  } catch {
    return undefined;
  }
}

const Spoken = createContext<Said>(saidIn("en"));

/** The texts in the language of the page around it; English where nothing was said. */
export const useSaid = (): Said => useContext(Spoken);

/** Everything inside is read by a pitcher or a parent in this language: that of said, or the catalogue's. */
export function InLanguage({ language, said = plainlyIn(language), children }: { language: Language; said?: Said; children: ComponentChildren }) {
  return <Spoken.Provider value={said}>{children}</Spoken.Provider>;
}

/** The language of a page for students and parents, and how to choose another. of: the pitcher's, once it is known. */
export function useLanguage(of: string | undefined): [Language, (language: Language) => void] {
  const [chosen, setChosen] = useState(chosenLanguage);
  const language = chosen ?? languageOf(of) ?? languageOf(navigator.language) ?? "en";
  useEffect(() => void (document.documentElement.lang = language), [language]);
  const choose = (next: Language) => {
    setChosen(next);
    try {
      localStorage.setItem(name, next);
    } catch {
      // Without storage the choice lasts as long as the page.
    }
  };
  return [language, choose];
}

let spoken: Language | undefined;

/** The server says its own sentences in this language from now on. */
export const speak = (language: Language): void => void (spoken = language);

/** The header that asks the server for them: as the page is read, else as was chosen on this device; before either is known the server has the browser's. */
export const saidHeader = (): Record<string, string> => {
  const language = spoken ?? chosenLanguage();
  return language ? { "Said-In": language } : {};
};

/** A button for each language, in its own words. */
export function LanguageSwitch({ language, choose }: { language: Language; choose: (language: Language) => void }) {
  return (
    <div class="row languages no-print">
      {languages.map((l) => (
        <button key={l} type="button" lang={l} aria-pressed={l === language} onClick={() => choose(l)}>{saidIn(l).say("language")}</button>
      ))}
    </div>
  );
}
