import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { drawFrom } from '../../bench/fuzz/draw.js';
import { foreignPicture } from '../../bench/fuzz/mutate-photo.js';
import { bases, folder, measure, putSession, type Subset, useTinySession } from './tiny-session.js';

useTinySession();

describe('photos that are not what their shots say', () => {
  const SIZE = { width: 128, height: 104 };
  const foreign = (name: string) => foreignPicture(name, SIZE, drawFrom(1));

  test.each<[string, string, Subset, () => Promise<Buffer>]>([
    ['a dark photo as bare', 'bare.png', 'even', () => bases.photo('dark.png')],
    ['an even photo as bare', 'bare.png', 'even', () => bases.photo('even-1.png')],
    ['a single shot as bare', 'bare.png', 'even', () => bases.photo('single.png')],
    ['a lamp photo as dark', 'dark.png', 'even', () => bases.photo('lamp-5.png')],
    ['a lamp photo as even', 'even-2.png', 'even', () => bases.photo('lamp-5.png')],
    ['white as dark', 'dark.png', 'even', () => foreign('white')],
    ['grey as dark', 'dark.png', 'even', () => foreign('grey')],
    ['noise as dark', 'dark.png', 'even', () => foreign('noise')],
    ['black as a pair', 'pair-2.png', 'pairs', () => foreign('black')],
    ['a holiday picture as a pair', 'pair-2.png', 'pairs', () => foreign('a holiday picture')],
    ['another tube as single', 'single.png', 'pairs', () => bases.photo('lamp-1.png')],
  ])('%s: named and left out', async (_, name, subset, make) => {
    await putSession(subset);
    await writeFile(join(folder, name), await make());
    const { code, err } = await measure();
    expect({ code, err: code === 70 ? err : '' }).toEqual({ code: expect.any(Number), err: '' });
    const says = code === 1 ? err : await readFile(join(folder, 'out', 'result.json'), 'utf8');
    expect(says).toMatch(
      new RegExp(`${name}.*(left out|doubt-photo-kind)|doubt-photo-kind.*${name}|${name}: `, 's'),
    );
  });
});

describe('nine lamp photos given as another kind', () => {
  test.each<[string, string, RegExp]>([
    ['dark', 'tubes lit', /kind: lamp, .*?( })/g],
    ['even', 'not even', /kind: lamp, .*?( })/g],
  ])('as %s: each is named, and the figures are those without them', async (kind, seenAs, lamps) => {
    await putSession('whole', [[lamps, `kind: ${kind}$1`]]);
    const { code } = await measure();
    const result = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
    const doubts = result.findings.filter(({ code }: { code: string }) => code === 'doubt-photo-kind');
    expect(code).toBe(3);
    expect(
      doubts.map(({ about, values }: { about: string; values: object }) => ({ about, ...values })),
    ).toEqual(
      Array.from({ length: 9 }, (_, n) =>
        expect.objectContaining({ about: `lamp-${n + 1}.png`, statedKind: kind, seenAs }),
      ),
    );
    await putSession('whole', [[/.*kind: lamp, .*\n/g, '']]);
    await measure();
    const without = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
    expect(result.resolving).toEqual(without.resolving);
    expect(result.cells).toEqual(without.cells);
  });
});
