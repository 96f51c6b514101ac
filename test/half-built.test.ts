import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { measureSession } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { reportPage } from '@twolamp/report';
import { readSession, type Result, resultSchema } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import { beforeAll, describe, expect, test } from 'vitest';
import { heldFigures } from './held/held-figures.js';
import { EXAMPLE_SOURCE } from '../packages/report/src/example/example-source.js';

/** A half-built array with a ragged edge, its empty holes covered, against what is true of it. */
const FOLDER = new URL('../datasets/half-built/', import.meta.url);
const TIMEOUT_MS = 600_000;

let result: Result;
let page: string;
let truth: Truth;

beforeAll(async () => {
  const file = fileURLToPath(new URL('session.yaml', FOLDER));
  const session = readSession(await readFile(file, 'utf8'), file);
  const measured = await measureSession(session, ({ photo }) =>
    readPhoto(fileURLToPath(new URL(photo, FOLDER)), { tone: 'srgb', channel: 'luminance' }),
  );
  result = measured.result;
  page = reportPage(result, measured.evidence, EXAMPLE_SOURCE);
  truth = JSON.parse(await readFile(new URL('truth.json', FOLDER), 'utf8'));
}, TIMEOUT_MS);

const tubes = () => result.cells.filter(({ state }) => state === 'filled');
const truthOf = (cell: { row: number | null; column: number | null }) =>
  truth.cells.find((one) => one.row === cell.row && one.column === cell.column);

describe('a half-built array', () => {
  test('its result is a valid file, with a place for every hole', () => {
    expect(resultSchema.safeParse(result).success).toBe(true);
    expect(result.cells).toHaveLength(20 * 24);
    expect(result.cells.map(({ cell }) => cell)).toEqual(result.cells.map((_, n) => n + 1));
  });

  test('every tube is in its place, and no other', () => {
    expect(tubes()).toHaveLength(truth.cells.length);
    for (const cell of tubes()) {
      const true_ = truthOf(cell);
      expect(Math.hypot(cell.xPx - (true_?.xPx ?? NaN), cell.yPx - (true_?.yPx ?? NaN))).toBeLessThan(1);
    }
  });

  test('holes without a tube are no faults, stay out of the pull list, and have no figures', () => {
    const holes = result.cells.filter(({ state }) => state === 'unfilled');
    expect(holes.every(({ fault, transmission }) => fault === 'none' && transmission.relative === null)).toBe(
      true,
    );
    const named = new Set(holes.map(({ cell }) => cell));
    expect(result.pull.some(({ cell }) => named.has(cell))).toBe(false);
  });

  // As on a full grid: median error 1 %, no more than one healthy tube in 200 called faulty.
  test('transmission and faults as on a full grid', () => {
    const healthy = tubes().filter((cell) => truthOf(cell)?.fault === 'none');
    const errors = healthy
      .map((cell) =>
        Math.abs((cell.transmission.relative ?? 0) / (truthOf(cell)?.relativeTransmission ?? NaN) - 1),
      )
      .sort((a, b) => a - b);
    expect(errors[errors.length >> 1]).toBeLessThan(0.01);
    expect(healthy.filter(({ fault }) => fault !== 'none').length).toBeLessThanOrEqual(
      0.005 * healthy.length,
    );
    const blocked = truth.cells.filter(({ fault }) => fault === 'blocked');
    for (const one of blocked) {
      expect(tubes().find((cell) => cell.row === one.row && cell.column === one.column)?.fault).toBe(
        'blocked',
      );
    }
  });

  test('the resolving distance holds the truth within its interval or 3 %', () => {
    const { distanceM } = truth.resolving.find(({ criterion }) => criterion === 'rayleigh') ?? {};
    expect(result.resolving?.bound).toBe('within');
    expect(Math.abs((result.resolving?.distanceM ?? 0) / (distanceM ?? NaN) - 1)).toBeLessThan(0.03);
  });

  test('nothing that was typed is doubted: lamps over holes without a tube show no place', () => {
    expect(result.findings.filter(({ code }) => code.startsWith('doubt'))).toEqual([]);
  });

  test('the first screen says what finishing would bring and what not', () => {
    expect(page).toContain('Finishing widens the picture from 12 to 20 rows; it doesn’t make it finer.');
  });
});

heldFigures('half-built', () => result, 'faulty');
