// The first page in words.
import type { BullpenCard, HomeworkCard, Home } from "../api/types";
import { many } from "../words/number";

/** Homework that needs the instructor: something came that no answer stands for. */
export function waits(h: Pick<HomeworkCard, "state">): boolean {
  return h.state === "new" || h.state === "in review";
}

/** A bullpen whose film was read and in which nobody has logged a rep yet. */
export function unseen(b: Pick<BullpenCard, "films" | "reading" | "reps">): boolean {
  return b.films > 0 && b.reading === 0 && b.reps === 0;
}

/** The bullpens that were thrown: one that homework made stands with the homework until
    something of it is here. */
export function thrown(home: Pick<Home, "inbox" | "bullpens">): BullpenCard[] {
  const homework = new Set(home.inbox.map((h) => h.bullpenId));
  return home.bullpens.filter((b) => b.reps > 0 || b.films > 0 || b.reading > 0 || !homework.has(b.id));
}

/** What needs her today, in one short line: of more than three kinds the first two are named. Pain is said alone. */
export function todayText(home: Pick<Home, "inbox" | "asked" | "lessons" | "films" | "bullpens">): string {
  const open = home.inbox.filter(waits);
  const sore = open.filter((h) => h.sore);
  const names = [...new Set(sore.map((h) => h.pitcherLabel))];
  if (names.length > 0) return names.length === 1 ? `${names[0]} writes about pain. Read that first.` : `${names.length} pitchers write about pain. Read that first.`;
  const homework = new Set(open.map((h) => h.bullpenId));
  const films = home.bullpens.filter((b) => unseen(b) && !homework.has(b.id)).length;
  const refused = home.films.filter((f) => f.state === "refused").length;
  const readings = home.asked.reduce((n, a) => n + a.readings, 0);
  const typed = home.lessons.reduce((n, l) => n + l.entries, 0);
  const parts = [
    open.length > 0 ? `homework from ${whose(open)}` : "",
    films > 0 ? many(films, "new film", "new films") : "",
    refused > 0 ? many(refused, "refused film", "refused films") : "",
    readings > 0 ? many(readings, "odd reading", "odd readings") : "",
    typed > 0 ? many(typed, "field reading", "field readings") : "",
  ].filter(Boolean);
  if (parts.length === 0) return home.films.length > 0 ? "Films are coming in." : "Nothing waits for you.";
  const alone = parts.length === 1 && (open.length > 0 || parts[0]!.startsWith("1 "));
  if (parts.length > 3) parts.splice(2, parts.length, "more");
  return `${capital(listed(parts))} ${alone ? "waits" : "wait"} for you.`;
}

/** "Lark", "Lark and Jay", "3 pitchers". */
function whose(open: readonly Pick<HomeworkCard, "pitcherLabel">[]): string {
  const names = [...new Set(open.map((h) => h.pitcherLabel))];
  return names.length > 2 ? `${names.length} pitchers` : listed(names);
}

const listed = (parts: readonly string[]) => (parts.length > 1 ? `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}` : parts[0]!);
const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** Days from one day to another, both as YYYY-MM-DD. */
const daysFrom = (day: string, to: string) => Math.round((Date.parse(`${to}T12:00:00Z`) - Date.parse(`${day}T12:00:00Z`)) / 86_400_000);

/** "today", "yesterday", "9 days ago", "6 weeks ago"; both days as YYYY-MM-DD. */
export function agoText(day: string, today: string): string {
  const days = daysFrom(day, today);
  if (!Number.isFinite(days) || days < 0) return day;
  if (days === 0) return "today";
  if (days === 1) return "yesterday";
  return days < 28 ? `${days} days ago` : `${Math.round(days / 7)} weeks ago`;
}

/** "homework due today", "homework due in 3 days", "homework 2 days overdue". */
export function dueText(day: string, today: string): string {
  const days = daysFrom(today, day);
  if (days < 0) return `homework ${many(-days, "day", "days")} overdue`;
  return days === 0 ? "homework due today" : `homework due in ${many(days, "day", "days")}`;
}
