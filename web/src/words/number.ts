// Numbers as they are typed.

/** What a text says with a decimal point or a decimal comma; NaN for no number, 0 for nothing. */
export const numberOf = (text: string): number => Number(text.replace(",", "."));
