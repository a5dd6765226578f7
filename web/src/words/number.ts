// Numbers as they are typed, and with what they count.

/** What a text says with a decimal point or a decimal comma; NaN for no number, 0 for nothing. */
export const numberOf = (text: string): number => Number(text.replace(",", "."));

/** "1 rep", "3 reps". */
export const many = (n: number, one: string, more: string): string => `${n} ${n === 1 ? one : more}`;
