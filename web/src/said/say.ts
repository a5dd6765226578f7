// The catalogue of every text that a student or a parent reads, as the page says it. The
// texts and their plural forms are the server's (internal/texts); which form a number
// takes, the browser knows (Intl.PluralRules).
import english from "../../../internal/texts/en.json";
import spanish from "../../../internal/texts/es.json";

export type Language = "en" | "es";

export const languages: readonly Language[] = ["en", "es"];

/** A text of the catalogue. A key that it lacks does not compile. */
export type Key = keyof typeof english;

/** What stands in a text's placeholders; n, a whole number, chooses the plural form. */
export type Values = Readonly<Record<string, string | number>>;

type Catalogue = Readonly<Record<string, string | Readonly<Record<string, string>>>>;

export interface Said {
  readonly language: Language;
  /** To a pitcher or a parent: without the trade's words where the catalogue has others. */
  readonly plain: boolean;
  say(key: Key, values?: Values): string;
  /** "3, 6 and 9". */
  list(words: readonly string[]): string;
  /** "12 April 2026" from "2026-04-12". */
  day(day: string): string;
  /** The same from microseconds UTC. */
  moment(micros: number): string;
}

/** Where days are written as its readers write them. */
const place: Record<Language, string> = { en: "en-GB", es: "es-US" };

const long = { day: "numeric", month: "long", year: "numeric" } as const;

/** Says the texts of one catalogue in the manner of a language. plain: a text's own for readers who don't know the trade, if it has one. */
export function sayer(language: Language, catalogue: Catalogue, plain = false): Said {
  const plural = new Intl.PluralRules(language);
  const say = (key: Key, values: Values = {}) => {
    const entry = (plain && catalogue[`${key}.plain`]) || (catalogue[key] ?? key);
    const form = typeof entry === "string" ? entry : (entry[plural.select(Number(values["n"]))] ?? entry["other"] ?? key);
    return form.replace(/\{\{\.(\w+)\}\}/g, (all, name: string) => String(values[name] ?? all));
  };
  return {
    language,
    plain,
    say,
    list: (words) => (words.length < 2 ? words.join("") : say("list", { before: words.slice(0, -1).join(", "), last: words.at(-1)! })),
    day: (day) => {
      const date = new Date(`${day}T12:00:00`);
      return Number.isNaN(date.getTime()) ? day : date.toLocaleDateString(place[language], long);
    },
    moment: (micros) => new Date(micros / 1000).toLocaleDateString(place[language], long),
  };
}

const all: Record<Language, Said> = { en: sayer("en", english), es: sayer("es", spanish) };
const plainly: Record<Language, Said> = { en: sayer("en", english, true), es: sayer("es", spanish, true) };

/** The texts in a language. */
export const saidIn = (language: Language): Said => all[language];

/** The same as they are said to a pitcher or a parent. */
export const plainlyIn = (language: Language): Said => plainly[language];

/** The language of a tag such as "es-MX", if there are texts in it. */
export function languageOf(tag: string | undefined): Language | undefined {
  const base = tag?.toLowerCase().split("-")[0];
  return languages.find((l) => l === base);
}
