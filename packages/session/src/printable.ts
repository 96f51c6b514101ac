/** Longest piece of a person's own text in a message; more than any sensible name or path, less than a screen. */
const LONGEST_NAME = 160;

/**
 * Characters that a screen obeys or hides: control characters (C0, DEL, C1), line and paragraph separators, zero-width
 * characters, the byte-order mark and marks that turn the direction of writing.
 * Source: Unicode 15, general categories Cc, Zl, Zp and, of Cf, those that change what is seen.
 */
const UNSEEN =
  /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]|[\ud800-\udfff]/gu;

const escaped = (character: string) => `\\u{${character.codePointAt(0)!.toString(16)}}`;

/**
 * Text that a person or a file gave, safe to print: what a screen would obey or hide is shown as an escape such as
 * `\u{1b}`. Half a surrogate pair counts as such.
 */
export function printable(text: string): string {
  return text.replace(UNSEEN, escaped);
}

/** As {@link printable}, but line breaks and tabs stay: for text of several lines. */
export function printableLines(text: string): string {
  return text.replace(UNSEEN, (character) => (/[\n\t]/.test(character) ? character : escaped(character)));
}

/** Long text with its middle left out: beginnings and ends tell names apart. */
export function shortened(text: string, longest: number = LONGEST_NAME): string {
  const letters =
    text.length <= 2 * longest ? [...text] : [...text.slice(0, longest), ...text.slice(-longest)];
  if (text.length <= longest || letters.length <= longest) return text;
  const kept = Math.floor((longest - 1) / 2);
  return `${letters.slice(0, kept).join('')}…${letters.slice(-kept).join('')}`;
}
