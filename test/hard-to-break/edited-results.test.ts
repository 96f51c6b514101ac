import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { twolamp } from '../../bench/fuzz/twolamp.js';
import { bases, expectRefused, folder, useTinySession } from './tiny-session.js';

useTinySession();

describe('edited results that ended as a fault of ours, or were taken', () => {
  type Tree = Record<string, unknown>;

  /** Puts a value at a place such as cells.3.row. */
  function put(tree: Tree, place: string, value: unknown): void {
    const keys = place.split('.');
    const holder = keys.slice(0, -1).reduce((one, key) => one[key] as Tree, tree);
    holder[keys.at(-1)!] = value;
  }

  async function putResult(edits: Tree): Promise<void> {
    const result = JSON.parse(bases.result) as Tree;
    for (const [place, value] of Object.entries(edits)) put(result, place, value);
    await writeFile(join(folder, 'result.json'), JSON.stringify(result));
  }

  const preview = (...more: string[]) =>
    twolamp(
      ...['preview', join(folder, 'result.json'), '--scene', join(folder, 'scene.png')],
      ...['--width', '0.3m', '--distance', '1m', '--out', join(folder, 'out'), ...more],
    );

  const FIRST = { cell: 1, row: 1, column: 1, fault: 'weak', gain: 0, gainUncertainty: 0, dipGain: null };

  test.each<[string, Tree, RegExp]>([
    [
      'a tube length of 0',
      { 'array.tubeLengthMm': 0 },
      /array.tubeLengthMm: found 0; expected a tube length/,
    ],
    ['a negative pitch', { 'array.backPitchMm': -3 }, /array.backPitchMm: found -3; expected a pitch/],
    ['a ragged kernel', { 'crosstalk.kernel.0': [1] }, /crosstalk.kernel: .*rows of one length/],
    ['light beyond all bounds', { 'cells.3.transmission.relative': 1e308 }, /relative: found 1e\+308/],
    ['a resolving distance of 0', { 'resolving.distanceM': 0 }, /resolving.distanceM: found 0; expected/],
    [
      '“95 % interval 9 to 1 m”',
      { 'resolving.lowM': 9, 'resolving.highM': 1 },
      /resolving.lowM: .*from 0 to the resolving distance/,
    ],
    ['hexagonal without its rows', { 'array.arrangement': 'hexagonal' }, /array.shiftedRows: .*odd or even/],
    ['a cell twice', { 'cells.1.column': 1 }, /cells\[2\].row: .*each tube once/],
    ['a pull list with another cell', { 'pull.0.cell': 44 }, /pull\[1\].cell: .*the number of the cell/],
    ['a cell outside', { 'cells.1.column': 99 }, /cells\[2\].row: .*a column from 1 to 8/],
    [
      'a pull list of 5,000',
      { pull: Array(5000).fill({ ...FIRST, dipGainUncertainty: null }) },
      /pull\[2\].row: .*each tube once/,
    ],
    ['one row of 20,000', { 'array.rows': 1, 'array.columns': 20_000 }, /expected/],
    ['a format named as what every object has', { format: 'constructor' }, /format: found "constructor"/],
    ['a format named __proto__', { format: '__proto__' }, /format: found "__proto__"/],
  ])('%s', async (_, edits, says) => {
    await putResult(edits);
    await writeFile(join(folder, 'scene.png'), bases.scene);
    await expectRefused(twolamp('report', join(folder, 'result.json'), '--out', join(folder, 'out')), says);
    await expectRefused(preview(), says);
  });

  test('tubes that pass next to nothing: not “about Infinity h”', async () => {
    const { cells } = JSON.parse(bases.result) as { cells: { transmission: object }[] };
    const dim = { absolute: 1e-300, absoluteUncertainty: 1e-302 };
    await putResult({
      cells: cells.map((cell) => ({ ...cell, transmission: { ...cell.transmission, ...dim } })),
    });
    await writeFile(join(folder, 'scene.png'), bases.scene);
    const { code, err } = await preview('--lens', 'f/8', '--exposure', '24 h');
    expect({ code, err }).toEqual({
      code: 0,
      err: expect.stringContaining('How long to expose can’t be said.'),
    });
    expect(err).not.toContain('Infinity');
  });

  test('ragged profiles in evidence.json', async () => {
    const evidence = JSON.parse(bases.evidence);
    evidence.profiles[0].model.pop();
    await writeFile(join(folder, 'result.json'), bases.result);
    await writeFile(join(folder, 'evidence.json'), JSON.stringify(evidence));
    await expectRefused(
      twolamp('report', join(folder, 'result.json'), '--out', join(folder, 'out')),
      /profiles\[1\].offsetCells: .*lists of one length/,
    );
  });
});
