import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cellPlace, type Result, RESULT_FORMAT, readComparison } from '@twolamp/session';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { twolamp } from '../fixtures/run-command.js';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-compare-'));
});
afterEach(() => rm(folder, { recursive: true }));

/** A panel of 4 × 5 tubes that pass alike but for one. */
function panel(name: string, odd: { light: number; fault: 'none' | 'weak' }): Result {
  const array = {
    name,
    arrangement: 'square',
    rows: 4,
    columns: 5,
    tubeLengthMm: 150,
    tubeBoreMm: 2.6,
    backPitchMm: 3,
    frontPitchMm: 4.2,
  } as const;
  return {
    format: RESULT_FORMAT,
    made: null,
    array,
    cells: Array.from({ length: 20 }, (_, index) => ({
      ...cellPlace(array, index),
      atMm: { across: 0, up: 0 },
      state: 'filled' as const,
      xPx: 10 * index,
      yPx: 0,
      seen: true,
      transmission: {
        relative: index === 7 ? odd.light : 1,
        relativeUncertainty: 0.01,
        absolute: null,
        absoluteUncertainty: null,
      },
      pointing: null,
      bend: null,
      cureShiftMm: null,
      crosstalk: null,
      fault: index === 7 ? odd.fault : ('none' as const),
      reasons: [],
    })),
    pairs: [],
    resolving: null,
    crosstalk: null,
    wall: null,
    pull: [],
    findings: [],
    photos: [],
  };
}

const FIRST = panel('First build', { light: 0.5, fault: 'weak' });
const SECOND = panel('Second build', { light: 0.7, fault: 'weak' });
const THIRD = panel('Third build', { light: 1, fault: 'none' });

/** Writes a result into a folder of its own. */
async function put(name: string, result: unknown): Promise<string> {
  const home = join(folder, name);
  await mkdir(home);
  await writeFile(join(home, 'result.json'), JSON.stringify(result));
  return join(home, 'result.json');
}

describe('compare', () => {
  test('--help shows an example', async () => {
    const { code, out } = await twolamp('compare', '--help');
    expect(out).toContain('Example:\n  npm run --silent twolamp -- compare');
    expect(code).toBe(0);
  });

  test('two results: figures, list and page beside the later one, all else as it was', async () => {
    const [first, third] = [await put('a', FIRST), await put('c', THIRD)];
    await mkdir(join(folder, 'c', 'compared'));
    await writeFile(join(folder, 'c', 'compared', 'mine.txt'), 'mine');
    const { code, out, err } = await twolamp('compare', first, third, '--json');
    expect(code).toBe(0);
    expect(err).toContain('Better: 1 tube is mended.');
    expect(err).toContain(`Comparison: ${join(folder, 'c', 'compared', 'compare.html')}`);
    expect(err).not.toContain('History');
    const compared = join(folder, 'c', 'compared');
    expect((await readdir(compared)).sort()).toEqual([
      'compare.csv',
      'compare.html',
      'compare.json',
      'mine.txt',
    ]);
    const written = readComparison(await readFile(join(compared, 'compare.json'), 'utf8'), 'compare.json');
    expect(JSON.parse(out)).toEqual(written);
    expect([written.earlier, written.later]).toEqual(['First build', 'Third build']);
    expect(written.tubes.filter(({ verdict }) => verdict === 'mended')).toMatchObject([
      { row: 2, column: 3 },
    ]);
    // A header, and a line a tube.
    expect((await readFile(join(compared, 'compare.csv'), 'utf8')).trim().split('\r\n')).toHaveLength(21);
    expect(await readdir(join(folder, 'a'))).toEqual(['result.json']);
  });

  test('three results: the first against the last, and a history', async () => {
    const files = [await put('a', FIRST), await put('b', SECOND), await put('c', THIRD)];
    const given = [files[0]!, join(folder, 'b'), files[2]!]; // one by its folder
    const { code, out, err } = await twolamp('compare', ...given, '--json', '--out', join(folder, 'out'));
    expect(code).toBe(0);
    expect(err).toContain('History: ');
    expect((await readdir(join(folder, 'out'))).sort()).toEqual([
      'compare.csv',
      'compare.html',
      'compare.json',
      'history.html',
    ]);
    expect(JSON.parse(out)).toMatchObject({ earlier: 'First build', later: 'Third build' });
    expect(await readFile(join(folder, 'out', 'history.html'), 'utf8')).toContain('Second build');
  });

  test.each([
    ['a result that is none', { ...THIRD, format: 'twolamp-comparison/1' }, 'result.json: '],
    [
      'a result that lists a tube twice',
      { ...THIRD, cells: [...THIRD.cells.slice(1), THIRD.cells[1]] },
      'result.json: cells[20].row: found 1; expected each tube once',
    ],
  ])('%s ends with 1, and nothing is written', async (_, spoilt, says) => {
    const [first, third] = [await put('a', FIRST), await put('c', spoilt)];
    const { code, out, err } = await twolamp('compare', first, third, '--json');
    expect(err).toContain(says);
    expect({ code, out, files: await readdir(join(folder, 'c')) }).toEqual({
      code: 1,
      out: '',
      files: ['result.json'],
    });
  });

  test('a result held against itself is refused', async () => {
    const first = await put('a', FIRST);
    const { code, err } = await twolamp('compare', first, join(folder, 'a'));
    expect({ code, err }).toEqual({
      code: 1,
      err: `${first}: this result is given twice; expected results of different sessions\n`,
    });
  });

  test('a missing result ends with 1, a single one with 2', async () => {
    const first = await put('a', FIRST);
    expect(await twolamp('compare', first, join(folder, 'none.json'))).toMatchObject({ code: 1 });
    const { code, err } = await twolamp('compare', first);
    expect(err).toContain("missing required argument 'later'");
    expect(code).toBe(2);
  });
});
