import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { finding, type Result } from '@twolamp/session';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';
import { exampleResult } from '../packages/words/src/example/example-result.js';

/** What is made from a result whose session states something that its photos contradict says so first. */
const doubt = finding('doubt-length', 'array.front-pitch', {
  length: 'front-pitch',
  statedMm: 4.8,
  fittingMm: 3.8,
  fittingFactor: 3.8 / 4.8,
  fittingUncertainty: 0.005,
});
const RIGHT = exampleResult();
const DOUBTFUL: Result = {
  ...RIGHT,
  resolving: { ...RIGHT.resolving!, doubtful: true },
  findings: [doubt, ...RIGHT.findings],
  doubtful: true,
};

let folder: string;
const at = (name: string) => join(folder, name);
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-doubtful-'));
  await writeFile(at('right.json'), JSON.stringify(RIGHT));
  await writeFile(at('doubtful.json'), JSON.stringify(DOUBTFUL));
  const grey = { width: 60, height: 40, channels: 3, background: { r: 90, g: 90, b: 90 } } as const;
  await sharp({ create: grey }).png().toFile(at('scene.png'));
});
afterAll(() => rm(folder, { recursive: true }));

const SCENE = () => ['--scene', at('scene.png'), '--width', '0.6m', '--distance', '1.5m'];

describe.each([
  { verb: 'compare', rest: () => [at('right.json')], file: 'compare' },
  { verb: 'preview', rest: SCENE, file: 'preview' },
  { verb: 'weigh', rest: () => [], file: 'weigh' },
])('$verb', ({ verb, rest, file }) => {
  const run = async (result: string) => {
    const out = at(`${verb}-${result}`);
    const { code, err } = await twolamp(verb, at(`${result}.json`), ...rest(), '--out', out);
    const [json, page] = await Promise.all(
      ['json', 'html'].map((ending) => readFile(join(out, `${file}.${ending}`), 'utf8')),
    );
    return { code, err, made: JSON.parse(json!), page: page! };
  };

  test('a doubtful result: named first, flagged, exit code 3', async () => {
    const { code, err, made, page } = await run('doubtful');
    expect(code).toBe(3);
    expect(err.split('\n')[0]).toMatch(/^Doubtful: .*front-pitch/);
    expect(made.doubtful).toBe(true);
    expect(page).toContain('The session doesn’t fit its photos');
  });

  test('no distance is given that rests on it', async () => {
    const { made, page } = await run('doubtful');
    if (verb === 'compare') expect(made.resolving).toBeNull();
    if (verb === 'weigh') {
      expect(made.ways.map((way: { resolvingM: unknown }) => way.resolvingM)).toEqual(
        made.ways.map(() => null),
      );
    }
    expect(page).not.toContain('separate up to');
  });

  // A result isn't compared with itself.
  test.runIf(verb !== 'compare')('a right one: nothing of it', async () => {
    const { code, err, made, page } = await run('right');
    expect(code).toBe(0);
    expect(err).not.toContain('Doubtful');
    expect(made.doubtful).toBeUndefined();
    expect(page).not.toContain('doesn’t fit its photos');
  });
});
