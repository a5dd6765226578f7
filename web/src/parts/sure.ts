// What is asked about a reading, once: "It is right" is remembered as long as the
// window is open.
import type { Rep } from "../api/types";

const place = "tenoff-sure";

/** The questions about a rep's reading that nobody has answered; they refuse nothing. */
export function questionsOf(rep: Rep): string[] {
  const said = [rep.filmSpeed?.doubt, rep.judged.doubt].filter((s): s is string => Boolean(s));
  return said.length > 0 && !remembered().includes(nameOf(rep)) ? said : [];
}

/** What is asked of a rep's reading in one line; empty for nothing. */
export function askedOf(rep: Rep): string {
  return questionsOf(rep).join(" ");
}

/** The reading is right, whatever was asked. */
export function isRight(rep: Rep): void {
  try {
    sessionStorage.setItem(place, JSON.stringify([...remembered(), nameOf(rep)].slice(-300)));
  } catch {
    // Without storage the question is asked again after a reload.
  }
}

function nameOf(rep: Rep): string {
  return `${rep.id} ${rep.reading?.value} ${rep.reading?.unit}`;
}

function remembered(): string[] {
  try {
    return JSON.parse(sessionStorage.getItem(place) ?? "[]") as string[];
  } catch {
    return [];
  }
}
