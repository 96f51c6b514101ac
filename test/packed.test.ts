import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { measureSession } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { cellsCsv, pullMap, reportPage } from '@twolamp/report';
import { readSession, type Result, resultSchema } from '@twolamp/session';
import type { TrueCell, Truth } from '@twolamp/simulate';
import { beforeAll, describe, expect, test } from 'vitest';
import { heldFigures } from './held/held-figures.js';
import { EXAMPLE_SOURCE } from '../packages/report/src/example/example-source.js';

/** Tubes packed in a ring without rows and columns, against what is true of them. */
const FOLDER = new URL('../datasets/packed/', import.meta.url);
const TIMEOUT_MS = 600_000;

let result: Result;
let page: string;
let truth: Truth;
/** What is true of each cell, by the place in the photo. */
let trueOf: TrueCell[];

beforeAll(async () => {
  const file = fileURLToPath(new URL('session.yaml', FOLDER));
  const session = readSession(await readFile(file, 'utf8'), file);
  const measured = await measureSession(session, ({ photo }) =>
    readPhoto(fileURLToPath(new URL(photo, FOLDER)), { tone: 'srgb', channel: 'luminance' }),
  );
  result = measured.result;
  page = reportPage(result, measured.evidence, EXAMPLE_SOURCE);
  truth = JSON.parse(await readFile(new URL('truth.json', FOLDER), 'utf8'));
  trueOf = result.cells.map(({ xPx, yPx }) => {
    const away = (cell: TrueCell) => Math.hypot(cell.xPx - xPx, cell.yPx - yPx);
    return truth.cells.reduce((best, cell) => (away(cell) < away(best) ? cell : best));
  });
}, TIMEOUT_MS);

const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;

describe('a bundle packed in a ring', () => {
  test('its result is a valid file, of cells with number and place and without row and column', () => {
    expect(resultSchema.safeParse(result).success).toBe(true);
    expect(result.cells.map(({ cell, row, column }) => [cell, row, column])).toEqual(
      result.cells.map((_, n) => [n + 1, null, null]),
    );
  });

  test('every tube is found, the five blocked ones too, and none is invented', () => {
    expect(new Set(trueOf).size).toBe(truth.cells.length);
    expect(result.cells).toHaveLength(truth.cells.length);
    for (const [k, { xPx, yPx }] of result.cells.entries()) {
      expect(Math.hypot(xPx - trueOf[k]!.xPx, yPx - trueOf[k]!.yPx)).toBeLessThan(1);
    }
  });

  // As on a grid: median error 1 % of light, 0.05° of pointing (root mean square over healthy tubes, each axis).
  test('transmission and pointing as on a grid', () => {
    const healthy = result.cells.flatMap((cell, k) =>
      trueOf[k]!.fault === 'none' ? [{ cell, due: trueOf[k]! }] : [],
    );
    const light = healthy.map(({ cell, due }) =>
      Math.abs((cell.transmission.relative ?? 0) / due.relativeTransmission - 1),
    );
    expect(median(light)).toBeLessThan(0.01);
    const squares = healthy.flatMap(({ cell: { pointing }, due }) =>
      pointing
        ? [(pointing.acrossDeg - due.pointing.acrossDeg) ** 2, (pointing.upDeg - due.pointing.upDeg) ** 2]
        : [],
    );
    expect(squares.length).toBeGreaterThan(1.9 * healthy.length);
    expect(Math.sqrt(squares.reduce((sum, one) => sum + one, 0) / squares.length)).toBeLessThan(0.05);
  });

  test('blocked, weak, misaimed and leaky tubes are called so, no healthy one is', () => {
    expect(result.cells.map(({ fault }) => fault)).toEqual(trueOf.map(({ fault }) => fault));
  });

  test('the resolving distance holds the truth', () => {
    const due = truth.resolving.find(({ criterion }) => criterion === 'rayleigh')!.distanceM!;
    const { lowM, highM } = result.resolving!;
    expect(lowM!).toBeLessThan(due);
    expect(highM!).toBeGreaterThan(due);
  });

  test('nothing that was stated rightly is doubted', () => {
    expect(result.findings.filter(({ code }) => code.startsWith('doubt-'))).toEqual([]);
  });

  test('page, spreadsheet and printed sheet name tubes by number', () => {
    const { cell } = result.pull[0]!;
    expect(page).toContain(`data-cell="${cell}">tube ${cell}<`);
    expect(page).not.toMatch(/row null|column null/);
    expect(cellsCsv(result).split('\r\n')[1]).toMatch(/^1,,,/);
    const sheet = pullMap(result, 'back');
    const circles = sheet.shapes.filter((shape) => shape.kind === 'circle' && shape.radiusMm === 1.25);
    expect(circles).toHaveLength(result.cells.length);
    expect(
      sheet.shapes.some((shape) => shape.kind === 'text' && shape.text.startsWith(`1: tube ${cell}: `)),
    ).toBe(true);
  });
});

heldFigures('packed', () => result, 'faulty');
