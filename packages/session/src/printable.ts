/** Longest piece of a person's own text in a message; more than any sensible name or path, less than a screen. */
const LONGEST_NAME = 160;

/**
 * Characters that a screen obeys or hides: control characters, format characters (zero-width ones, the byte-order mark,
 * marks that turn the direction of writing), line and paragraph separators, halves of surrogate pairs.
 * Source: Unicode 15, section 4.5, general categories Cc, Cf, Zl, Zp and Cs.
 */
const UNSEEN = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;

const escaped = (character: string) => `\\u{${character.codePointAt(0)!.toString(16)}}`;

/**
 * Text that a person or a file gave, safe to print: what a screen would obey or hide is shown as an escape such as
 * `\u{1b}`.
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
