// The rep that is being typed: digits, then the pitch if it is another one, then the call,
// which goes on to the next rep. The pitch stays from rep to rep, in sight.
import type { Call, Pitch } from "../api/types";

export interface Typing {
  digits: string;
  /** When the first digit was typed, ms; undefined while there is none. */
  begun?: number;
  pitch: Pitch;
}

/** The longest readings: 104.5. */
const longest = /^\d{0,3}(\.\d?)?$/;

export function press(t: Typing, key: string, now: number): Typing {
  if (key === "back") {
    const digits = t.digits.slice(0, -1);
    return digits === "" ? { digits, pitch: t.pitch } : { ...t, digits };
  }
  const digits = t.digits === "" && key === "." ? "" : t.digits + key;
  if (digits === "" || !longest.test(digits)) return t;
  return { ...t, digits, begun: t.begun ?? now };
}

/** What was read, undefined for nothing. */
export function valueOf(t: Typing): number | undefined {
  const v = Number(t.digits);
  return t.digits !== "" && v > 0 ? v : undefined;
}

/** What is kept of a rep, and what stays for the next one. The clock time is that of the
    first digit, which comes soon after the pitch. */
export function finish(t: Typing, call: Call, now: number): { value?: number; pitch: Pitch; call: Call; at: number; next: Typing } {
  const value = valueOf(t);
  return { ...(value === undefined ? {} : { value }), pitch: t.pitch, call, at: Math.round((value === undefined ? now : (t.begun ?? now)) * 1000), next: { digits: "", pitch: t.pitch } };
}
