// Drills by name.

/** Whether two names mean one drill: spaces and case make no difference, as on the server. */
export function sameDrill(a: string, b: string): boolean {
  return drillKey(a) === drillKey(b);
}

/** The same for all names of one drill. */
export const drillKey = (name: string): string => name.trim().split(/\s+/).join(" ").toLowerCase();
