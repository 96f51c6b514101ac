import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import type { Result } from '@twolamp/session';
import { expect, test } from 'vitest';

/**
 * Figures of sessions as they stood when they were last looked at, so that none moves by more than its uncertainty unseen: neither
 * those that nobody knows the truth of, nor those whose test against the truth allows for more.
 *
 * Where a change means to move a figure: look at what moved and why, delete the session's file, and run the test twice. It writes
 * the file anew and fails once.
 */
const MOST_SIGMAS = 0.5;
/** Uncertainties themselves, and what has none. */
const MOST_SHARE = { uncertainty: 0.1, other: 0.02 };
/** A place in the photo, in pixels. */
const MOST_PX = 0.05;
/** Half width of a 95 % interval over the standard uncertainty, twice. */
const INTERVAL_SIGMAS = 3.92;
const DIGITS = 6;

type Held = null | boolean | number | string | readonly Held[] | { readonly [key: string]: Held };
type Fields = { readonly [key: string]: Held };

const isFields = (value: Held): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isList = (value: Held): value is readonly Held[] => Array.isArray(value);

/** The standard uncertainty that stands beside a figure; null where none does. */
function uncertaintyOf(beside: Fields, key: string): number | null {
  const [, stem, unit = ''] = /^(.*?)(Deg|Mm|M)?$/.exec(key)!;
  const names = [
    `${stem}Uncertainty${unit}`,
    `${stem!.replace(/Cells$/, '')}Uncertainty`,
    `uncertainty${unit}`,
  ];
  for (const name of names) {
    const value = beside[name];
    if (name !== key && typeof value === 'number' && value > 0) return value;
  }
  const ends = unit === 'Deg' ? (['angleLowDeg', 'angleHighDeg'] as const) : (['lowM', 'highM'] as const);
  const [low, high] = ends.map((end) => beside[end]);
  return typeof low === 'number' && typeof high === 'number' ? (high - low) / INTERVAL_SIGMAS : null;
}

/** By how much a figure may move. */
function allowed(beside: Fields, key: string, value: number): number {
  if (Number.isInteger(value)) return 0;
  if (/Px$/.test(key)) return MOST_PX;
  if (/uncertainty/i.test(key)) return MOST_SHARE.uncertainty * Math.abs(value);
  const sigma = uncertaintyOf(beside, key);
  return sigma === null ? MOST_SHARE.other * Math.abs(value) : MOST_SIGMAS * sigma;
}

/** Where two sets of figures differ by more than they may, each with its path. */
function moved(held: Held, now: Held, path: string, beside: Fields, key: string): string[] {
  if (isList(held) && isList(now) && held.length === now.length) {
    return held.flatMap((one, n) => moved(one, now[n]!, `${path}[${n}]`, beside, key));
  }
  if (isFields(held) && isFields(now)) {
    const keys = [...new Set([...Object.keys(held), ...Object.keys(now)])];
    return keys.flatMap((name) =>
      moved(held[name] ?? null, now[name] ?? null, `${path}.${name}`, held, name),
    );
  }
  if (typeof held === 'number' && typeof now === 'number') {
    if (Math.abs(now - held) <= allowed(beside, key, held) + 10 ** -DIGITS * Math.abs(held)) return [];
  } else if (held === now) return [];
  return [`${path}: ${JSON.stringify(held)} → ${JSON.stringify(now)}`];
}

/** What is held of a result: all that was measured. */
function figuresOf(result: Result, cells: 'all' | 'faulty'): Held {
  const { array: _array, photos: _photos, made: _made, format: _format, ...measured } = result;
  const kept = {
    ...measured,
    cells: result.cells.filter(({ fault, state }) =>
      cells === 'all' ? state === 'filled' : fault !== 'none',
    ),
  };
  return JSON.parse(
    JSON.stringify(kept, (_, value) =>
      typeof value === 'number' ? Number(value.toPrecision(DIGITS)) : value,
    ),
  );
}

/** One line a cell, pair, pulled tube or finding, so that a change shows as such. */
const asText = (figures: Held) =>
  `${JSON.stringify(figures).replaceAll(/(?<=[[,])(\{"(cell|photo|code|tubes)":)/g, '\n$1')}\n`;

/**
 * Holds a session's figures against those of the file beside this one.
 *
 * @param cells - the faulty ones alone in a large array
 */
export function heldFigures(name: string, result: () => Result, cells: 'all' | 'faulty' = 'all'): void {
  test(`${name}: no figure has moved by more than half its uncertainty since it was looked at`, () => {
    const file = new URL(`${name}.json`, import.meta.url);
    const now = figuresOf(result(), cells);
    if (!existsSync(file)) {
      writeFileSync(file, asText(now));
      expect.fail(`${name}.json was not there and has been written: look at it, then run again`);
    }
    expect(moved(JSON.parse(readFileSync(file, 'utf8')), now, name, {}, '')).toEqual([]);
  });
}
