/** A positive figure to so many significant digits, written out: 50, never 5e+1. */
export function significant(value: number, digits: number): string {
  const text = value.toPrecision(digits);
  return text.includes('e') ? String(Number(text)) : text;
}
