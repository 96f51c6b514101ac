import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Plan, PLAN_FORMAT, planSchema, type Truth } from '@twolamp/simulate';
import type { Result } from '@twolamp/session';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeAndMeasure } from '../bench/accuracy/run-session.js';

const [ROWS, COLUMNS, FILLED] = [50, 60, 1740];
const TIMEOUT_MS = 300_000;

/** Full rows from the top, one ragged row, and holes without tubes that let light through. */
function plan(): Plan {
  const map = Array.from({ length: ROWS }, (_, row) => {
    const here = Math.max(0, Math.min(COLUMNS, FILLED - row * COLUMNS));
    return '#'.repeat(here) + 'o'.repeat(COLUMNS - here);
  });
  return planSchema.parse({
    format: PLAN_FORMAT,
    seed: 77,
    array: {
      name: 'Half-built panel, open',
      arrangement: 'square',
      rows: ROWS,
      columns: COLUMNS,
      'tube-length': '190 mm',
      'tube-bore': '3.2 mm',
      'back-pitch': '3.7 mm',
      'front-pitch': '4.6 mm',
      unfilled: 'open',
      map: map.join('\n'),
    },
    photo: { width: 1300, height: 1100 },
    camera: {
      distance: '800 mm',
      tilt: '3 deg',
      turn: '-2 deg',
      vignetting: 0.15,
      'longest-exposure': '4 s',
    },
    sheet: { core: '0.16 mm', 'halo-share': 0.05 },
    light: { unevenness: 0.1, 'room-lux': 0.005 },
    build: {
      wall: { index: 1.5, extinction: 0, gloss: 0.3 },
      'transmission-scatter': 0.03,
      'pointing-jitter': '0.05 deg',
      'placement-jitter': '0.05 mm',
      'outline-bulge': '1 mm',
    },
    faults: { blocked: 40, weak: 20 },
    shots: [
      { kind: 'dark' },
      { kind: 'even', repeats: 2 },
      // Where the holes of the lower rows look.
      { kind: 'lamp', across: '0 mm', up: '-240 mm', distance: '1.5 m' },
    ],
  });
}

let folder: string;
let made: { readonly truth: Truth; readonly result: Result };
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-half-open-'));
  made = await makeAndMeasure(plan(), folder);
}, TIMEOUT_MS);
afterAll(() => rm(folder, { recursive: true }));

describe('50 × 60 places, 58 % of them filled, open holes below a ragged edge', () => {
  const tubes = () => made.result.cells.filter(({ state }) => state === 'filled');
  const known = ({ row, column }: { row: number | null; column: number | null }) =>
    made.truth.cells.find((one) => one.row === row && one.column === column)!;

  test('every tube is in its place, dark ones of the outermost row too', () => {
    expect(tubes()).toHaveLength(FILLED);
    const pitchPx = Math.hypot(
      made.truth.cells[1]!.xPx - made.truth.cells[0]!.xPx,
      made.truth.cells[1]!.yPx - made.truth.cells[0]!.yPx,
    );
    const off = tubes().map((cell) => {
      const there = known(cell);
      return Math.hypot(cell.xPx - there.xPx, cell.yPx - there.yPx);
    });
    // The goal for places from which light is told apart: a quarter of a pitch.
    expect(Math.max(...off)).toBeLessThan(0.25 * pitchPx);
  });

  test('faults are those of the tubes; no hole is called one', () => {
    expect(tubes().filter((cell) => cell.fault !== known(cell).fault)).toEqual([]);
    const holes = made.result.cells.filter(({ state }) => state === 'unfilled');
    expect(holes).toHaveLength(ROWS * COLUMNS - FILLED);
    expect(holes.every(({ fault }) => fault === 'none')).toBe(true);
  });

  test('a lamp before the holes is left out, and nothing is doubted', () => {
    const told = made.result.findings.filter(
      ({ code }) => code === 'holes-alone-lit' || code.startsWith('doubt'),
    );
    expect(told.map(({ code, about }) => `${code} ${about}`)).toEqual(['holes-alone-lit lamp.jpg']);
  });

  test('transmission as on a full grid: half within 1 %, nineteen in twenty within 3 %', () => {
    const misses = tubes()
      .filter((cell) => known(cell).fault === 'none')
      .map((cell) => Math.abs(cell.transmission.relative! - known(cell).relativeTransmission))
      .sort((a, b) => a - b);
    expect(misses[misses.length >> 1]).toBeLessThan(0.01);
    expect(misses[Math.floor(0.95 * misses.length)]).toBeLessThan(0.03);
  });
});
