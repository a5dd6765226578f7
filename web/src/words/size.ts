// Sizes of files as people say them.

/** "3.4 MB", "120 MB", "1.2 GB"; decimal, as phones count. */
export function bytesText(bytes: number): string {
  if (bytes < 1e6) return `${Math.ceil(bytes / 1e3)} kB`;
  const [value, unit] = bytes < 1e9 ? [bytes / 1e6, "MB"] : [bytes / 1e9, "GB"];
  return `${value < 10 ? value.toFixed(1) : Math.round(value)} ${unit}`;
}

/** "12 April 2026" from microseconds UTC. */
export function momentDayText(micros: number): string {
  return new Date(micros / 1000).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
}
