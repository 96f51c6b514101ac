import { execFileSync } from 'node:child_process';
import { mkdir, readdir, rm, truncate, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { twolamp } from '../../bench/fuzz/twolamp.js';
import { bases, expectRefused, folder, measure, putSession, useTinySession } from './tiny-session.js';

useTinySession();

describe('what made it wait for ever', () => {
  const replaceBy = async (name: string, make: (path: string) => unknown) => {
    await putSession('even');
    await writeFile(join(folder, 'result.json'), bases.result);
    await writeFile(join(folder, 'scene.png'), bases.scene);
    await rm(join(folder, name));
    await make(join(folder, name));
  };
  const out = () => ['--out', join(folder, 'out')];
  const result = () => join(folder, 'result.json');
  const scene = () => ['--scene', join(folder, 'scene.png'), '--width', '0.3m', '--distance', '1m'];

  test.each<[string, () => string[]]>([
    ['even-1.png', () => ['measure', folder]],
    ['session.yaml', () => ['measure', join(folder, 'session.yaml')]],
    ['result.json', () => ['report', result()]],
    ['scene.png', () => ['preview', result(), ...scene()]],
  ])('a pipe for %s', async (name, args) => {
    await replaceBy(name, (path) => execFileSync('mkfifo', [path]));
    await expectRefused(twolamp(...args(), ...out()), /this is a pipe; expected/);
  });

  test('a sparse file of 1.9 GB', async () => {
    await replaceBy('even-1.png', async (path) => {
      await writeFile(path, '');
      await truncate(path, 1.9e9);
    });
    await expectRefused(measure(), /the file is 1900 MB long; expected at most 512 MB/);
  });

  test('a name of 10 MB', async () => {
    await putSession('even', [['Tiny panel', 'x'.repeat(10_000_000)]]);
    await expectRefused(
      measure(),
      /session.yaml: the file has \d+ characters; expected at most 300000 characters/,
    );
  });
});

describe('output', () => {
  test('of two runs at once the second is told, and all files are the first’s', async () => {
    await putSession('even');
    const [one, other] = await Promise.all([measure(), measure()]);
    expect([one.code, other.code].sort()).toEqual([0, 1]);
    expect(one.code === 1 ? one.err : other.err).toMatch(
      /another run \(process \d+\) is writing into this folder/,
    );
    const names = await readdir(join(folder, 'out'));
    expect(names).toEqual(expect.arrayContaining(['result.json', 'evidence.json', 'report.html']));
    expect(names).not.toContain('.twolamp-writing');
  });

  test('a bad --out is told before a photo is read', async () => {
    await putSession('even');
    await writeFile(join(folder, 'even-1.png'), 'no picture');
    await writeFile(join(folder, 'out'), 'mine');
    const { code, err } = await measure();
    expect({ code, err }).toEqual({
      code: 1,
      err: expect.stringContaining('out: this is a file; expected a folder'),
    });
    expect(err).not.toContain('even-1.png');
  });

  test('a draft that a killed run left is cleared away', async () => {
    await putSession('even');
    const draft = join(folder, 'out', '.twolamp-writing');
    await mkdir(join(draft, 'files'), { recursive: true });
    await writeFile(
      join(draft, 'owner.json'),
      JSON.stringify({ pid: 4_194_303, host: hostname(), began: '1' }),
    );
    const { code } = await measure();
    expect([0, 3]).toContain(code);
    expect(await readdir(join(folder, 'out'))).not.toContain('.twolamp-writing');
  });

  test('a folder in report.html’s place is told before anything is measured', async () => {
    await putSession('even');
    await mkdir(join(folder, 'out', 'report.html'), { recursive: true });
    const { code, err } = await measure();
    expect(err).toMatch(/^\S*report.html: this is a folder; expected it elsewhere/);
    expect({ code, out: await readdir(join(folder, 'out')) }).toEqual({ code: 1, out: ['report.html'] });
  });
});
