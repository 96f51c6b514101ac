import type { FINDINGS, FindingPlace } from '@twolamp/session';
import { decimal, significant, withUnit } from '../quantity.js';

type Tables = typeof FINDINGS;

/** The sentence of each code of an area: complete, and plain enough to be read once. */
export type WordsOf<A extends keyof Tables> = {
  readonly [C in keyof Tables[A]]: (
    values: Tables[A][C] extends { values: infer V }
      ? { readonly [K in keyof V]: V[K] extends { _zod: { output: infer O } } ? O : never }
      : never,
    about: string,
  ) => string;
};

/** “3.2 %”, two significant digits. */
export function percent(share: number): string {
  return withUnit(significant(100 * share, 2), '%');
}

/** Degrees with two decimals; small ones with two significant digits, so that they never read as zero. */
export function degrees(value: number): string {
  return withUnit(Math.abs(value) < 0.1 ? significant(value, 2) : decimal(value, 2), '°');
}

/** Metres to the centimetre, as far as a tape measure is good. */
export function metres(value: number): string {
  return withUnit(decimal(value, 2), 'm');
}

/** “row 3, column 17”, or “tube 17” in an array without rows. */
export function placeWords({ cell, row, column }: FindingPlace): string {
  return row === null || column === null ? `tube ${cell}` : `row ${row}, column ${column}`;
}

/** “row 1, column 2; row 1, column 4; 3 more”: the first places one by one, and how many more there are of `all`. */
export function listedPlaces(first: readonly string[], all: number): string {
  const more = all > first.length ? [`${all - first.length} more`] : [];
  return [...first, ...more].join('; ');
}

export function placesWords(first: readonly FindingPlace[], all: number): string {
  return listedPlaces(first.map(placeWords), all);
}

/** Where a direction points, as a person says it: “right”, “left and up”. */
export function side(across: number, up: number): string {
  const words = [
    { word: across > 0 ? 'right' : 'left', size: Math.abs(across) },
    { word: up > 0 ? 'up' : 'down', size: Math.abs(up) },
  ];
  const most = Math.max(...words.map(({ size }) => size));
  return words
    .filter(({ size }) => size > SMALL_PART * most)
    .map(({ word }) => word)
    .join(' and ');
}

/** A component below this share of the larger one isn't worth a word: less than about 20° off its axis. */
const SMALL_PART = 0.35;
