// Where a rep of a workout stands.

/** "set 2, no. 3", as the server's captions say it; empty where it is not said. A rep itself is called "rep 10", by its order. */
export function inSetText(set: number, number: number): string {
  return [set > 0 && `set ${set}`, number > 0 && `no. ${number}`].filter(Boolean).join(", ");
}
