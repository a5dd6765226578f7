// Times and rates in words.

/** "0:04.133" or "12:31.050": minutes, seconds, thousandths. */
export function timeText(seconds: number): string {
  const ms = Math.round(seconds * 1000);
  const minutes = Math.floor(ms / 60000);
  const rest = ((ms - minutes * 60000) / 1000).toFixed(3).padStart(6, "0");
  return `${minutes}:${rest}`;
}

/** A time on the ruler, no finer than its step. */
export function rulerText(seconds: number, step: number): string {
  const digits = step >= 1 ? 0 : step >= 0.1 ? 1 : 2;
  const minutes = Math.floor(seconds / 60 + 1e-9);
  const rest = Math.abs(seconds - minutes * 60).toFixed(digits);
  return `${minutes}:${rest.padStart(digits === 0 ? 2 : 3 + digits, "0")}`;
}

/** "full speed", "½ speed". */
export function rateText(speed: number): string {
  const names: Record<string, string> = { "1": "full speed", "0.5": "½ speed", "0.25": "¼ speed", "0.125": "⅛ speed" };
  return names[String(speed)] ?? `${speed} × speed`;
}

/** The short sign of a speed, for a button. */
export function rateSign(speed: number): string {
  const signs: Record<string, string> = { "1": "1", "0.5": "½", "0.25": "¼", "0.125": "⅛" };
  return signs[String(speed)] ?? String(speed);
}
