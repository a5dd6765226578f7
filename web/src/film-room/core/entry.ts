// The reading field: what was typed so far, as digits, a pitch letter, and what
// there is to say against it. Raw text is kept until it is confirmed.

/** A pitch type as the field needs it. */
export interface PitchKey {
  code: string;
  key: string;
  name: string;
}

export interface Entry {
  /** What the field shows: digits and one separator, as typed. */
  text: string;
  /** The pitch whose letter was typed, if any. */
  pitch?: string;
  /** The number meant; missing while there is none. */
  value?: number;
  /** The gun's display step that the typing shows: 0.1 with a decimal, else missing. */
  step?: number;
  /** One sentence, when this can't be saved as it stands. */
  problem?: string;
}

const largest = 250;

/**
 * Reads what the field holds after a key: letters are taken out and pick the
 * pitch (the last one counts), comma and point are the same, spaces are nothing.
 */
export function read(raw: string, pitches: readonly PitchKey[]): Entry {
  let text = "";
  let pitch: string | undefined;
  let problem: string | undefined;
  for (const sign of raw.normalize("NFKC")) {
    if (/[0-9.,]/.test(sign)) {
      text += sign;
    } else if (/\s/.test(sign)) {
      continue;
    } else {
      const type = pitches.find((p) => p.key === sign.toLowerCase());
      if (type) pitch = type.code;
      else problem = `No pitch has the key “${sign}”. ${legend(pitches)}`;
    }
  }
  const entry: Entry = { text };
  if (pitch !== undefined) entry.pitch = pitch;
  const number = readNumber(text);
  if (typeof number === "string") problem ??= number;
  else if (number !== undefined) {
    entry.value = number.value;
    if (number.step !== undefined) entry.step = number.step;
  }
  if (problem !== undefined) entry.problem = problem;
  return entry;
}

/** Seconds that a sound is late, less than 0 for early; nothing typed is none. */
export function readLate(text: string): number | { problem: string } {
  const plain = text.trim().replace(",", ".").replace("\u2212", "-");
  if (plain === "") return 0;
  if (!/^-?(\d+\.?\d*|\.\d+)$/.test(plain)) return { problem: `“${text.trim()}” is not a number.` };
  const seconds = Number(plain);
  return Math.abs(seconds) > 1 ? { problem: "At most 1 second." } : seconds;
}

/** A number typed by hand: undefined for none, a sentence for a bad one. */
export function readNumber(text: string): { value: number; step?: number } | string | undefined {
  const plain = text.trim().replace(",", ".");
  if (plain === "") return undefined;
  if (!/^(\d+\.?\d*|\.\d+)$/.test(plain)) return `“${text.trim()}” is not a number.`;
  const value = Number(plain);
  if (value <= 0) return "A reading is more than 0.";
  if (value > largest) return `No ball goes ${text.trim()}.`;
  return /\.\d/.test(plain) ? { value, step: 0.1 } : { value };
}

/** A count typed by hand (set, rep): 0 for none, a sentence for a bad one. */
export function readCount(text: string, most: number): number | string {
  const plain = text.trim();
  if (plain === "") return 0;
  if (!/^\d+$/.test(plain)) return `“${plain}” is not a whole number.`;
  const value = Number(plain);
  return value > most ? `${most} is the most.` : value;
}

function legend(pitches: readonly PitchKey[]): string {
  return pitches.map((p) => `${p.key} ${p.name}`).join(", ") + ".";
}
