import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { twolamp } from './fixtures/run-command.js';
import { run } from './run.js';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-cli-'));
});
afterEach(() => rm(folder, { recursive: true }));

const DIMENSIONS = [
  ...['--rows', '24', '--columns', '30', '--tube-length', '150mm', '--tube-bore', '2.6mm'],
  ...['--back-pitch', '3mm', '--front-pitch', '4.2mm'],
];
const LAMPS = ['--lamps', '60mm', '--room', '4m'];

describe('usage', () => {
  test.each(['plan', 'begin', 'check', 'measure', 'report', 'compare', 'preview', 'simulate', 'demo'])(
    '%s --help shows an example and ends with 0',
    async (verb) => {
      const { code, out, err } = await twolamp(verb, '--help');
      expect(out).toContain(`Example:\n  npm run --silent twolamp -- ${verb}`);
      expect({ code, err }).toEqual({ code: 0, err: '' });
    },
  );

  test.each([
    ['no verb', [], 'Usage: twolamp'],
    ['an unknown verb', ['mesure'], 'Did you mean measure?'],
    ['an unknown option', ['measure', 'x', '--fast'], "unknown option '--fast'"],
    ['a missing argument', ['measure'], "missing required argument 'session'"],
    ['one argument too many', ['measure', 'a', 'b'], 'too many arguments'],
    ['a bare number for a length', ['plan', '--room', '4m', '--lamps', '60'], 'Expected a number and a unit'],
    ['a time without a unit', ['plan', ...LAMPS, '--exposure', '180'], 'Expected a time in seconds'],
    ['an f-number that is none', ['plan', ...LAMPS, '--lens', 'wide'], 'Expected an f-number'],
    ['an argument of 5,000 characters', ['plan', ...LAMPS, '--lens', 'x'.repeat(5000)], 'x…x'],
    [
      'half of an exposure',
      ['plan', ...LAMPS, ...DIMENSIONS, '--lens', 'f/8'],
      '--lens and --exposure go together',
    ],
  ])('%s ends with 2', async (_, args, says) => {
    const { code, out, err } = await twolamp(...args);
    expect(err).toContain(says);
    expect(Math.max(...err.split('\n').map((line) => line.length))).toBeLessThan(800);
    expect({ code, out }).toEqual({ code: 2, out: '' });
  });
});

describe('input at fault ends with 1, one message and nothing written', () => {
  const SESSION = `format: twolamp-session/1
array: { name: A, arrangement: square, rows: 4, columns: 5, tube-length: 150 mm, tube-bore: 2 mm, back-pitch: 3 mm, front-pitch: 4 mm }
shots:
  - { photo: even.jpg, kind: even }
`;

  test.each([
    ['a missing session', ['measure', 'none.yaml'], null, 'there is no such file; expected a session.yaml'],
    ['a folder without a session', ['measure', '.'], null, 'session.yaml: there is no such file'],
    [
      'a bare number',
      ['measure', 'session.yaml'],
      SESSION.replace('150 mm', '150'),
      'line 2: array.tube-length: found 150',
    ],
    ['a missing photo', ['measure', 'session.yaml'], SESSION, 'the photo even.jpg is not there'],
    ['a missing result', ['report', 'result.json'], null, 'there is no such file; expected a result.json'],
    ['a folder without a result', ['report', '.'], null, 'there is no such file; expected a result.json'],
    ['no photos', ['begin', '.'], null, 'no photos are in this folder'],
    ['no folder', ['begin', 'none'], null, 'there is no such folder'],
  ])('%s', async (_, [verb, path], session, says) => {
    if (session !== null) await writeFile(join(folder, 'session.yaml'), session);
    const before = await readdir(folder);
    const { code, out, err } = await twolamp(verb!, join(folder, path!), '--json');
    expect(err).toContain(says);
    expect({ code, out, files: await readdir(folder) }).toEqual({ code: 1, out: '', files: before });
  });

  test.each([
    [
      'bore above pitch',
      ['--tube-bore', '3.4mm'],
      '--tube-bore: found "3.4mm"; expected a bore no wider than the back pitch',
    ],
    ['front pitch below back pitch', ['--front-pitch', '2.9mm'], 'the tubes lean towards each other'],
    [
      'zero length',
      ['--tube-length', '0mm'],
      'the options: --tube-length: found "0mm"; expected a tube length from',
    ],
    [
      'hexagonal rows of which none is said to be shifted',
      ['--arrangement', 'hexagonal'],
      'the options: --shifted-rows: it is missing; expected odd or even: which rows',
    ],
    ['half a row', ['--rows', '2.5'], '--rows: found 2.5; expected a whole number'],
    [
      'an unknown criterion',
      ['--criterion', 'dawes'],
      '--criterion: found "dawes"; expected rayleigh, sparrow',
    ],
  ])('a plan with %s', async (_, change, says) => {
    const { code, err } = await twolamp(
      'plan',
      ...DIMENSIONS,
      ...LAMPS,
      ...change,
      '--out',
      join(folder, 'plan'),
    );
    expect(err).toContain(says);
    expect({ code, files: await readdir(folder) }).toEqual({ code: 1, files: [] });
  });
});

describe('plan', () => {
  test('writes the plan, and doesn’t replace a session that is there', async () => {
    const out = join(folder, 'plan');
    const first = await twolamp('plan', ...DIMENSIONS, ...LAMPS, '--json', '--out', out);
    expect(first.code).toBe(0);
    expect(JSON.parse(first.out)).toEqual(JSON.parse(await readFile(join(out, 'plan.json'), 'utf8')));
    expect((await readdir(out)).sort()).toEqual([
      'bench.svg',
      'camera.svg',
      'plan.json',
      'plan.txt',
      'session-evening.yaml',
      'session-thorough.yaml',
      'sheet.pdf',
      'sheet.svg',
    ]);
    expect(first.err).toContain('Lamps and bulbs get hot');
    const list = join(out, 'session-evening.yaml');
    const session = readSession(await readFile(list, 'utf8'), list);
    expect(session.array).toMatchObject({ rows: 24, columns: 30, tubeLengthMm: 150, tubeBoreMm: 2.6 });

    const second = await twolamp('plan', ...LAMPS, '--array', list, '--out', out);
    expect(second.err).toContain('session-evening.yaml: the file is there already, and is left as it is');
    expect(second.code).toBe(1);
  });
});

describe('plan: several designs', () => {
  test('values with commas between them are compared side by side, and no session is written', async () => {
    const out = join(folder, 'plan');
    const dimensions = DIMENSIONS.map((word) => (word === '150mm' ? '150mm,120mm' : word));
    const { code, err } = await twolamp('plan', ...dimensions, ...LAMPS, '--out', out);
    expect(code).toBe(0);
    expect((await readdir(out)).sort()).toEqual(['designs.json', 'designs.txt']);
    expect(err.split('\n').filter((line) => /^1[25]0 +2\.6 /.test(line))).toHaveLength(2);
  });
});

test('a dimension that is seldom met is asked about, and the plan is made', async () => {
  const { code, err } = await twolamp(
    'plan',
    ...DIMENSIONS,
    ...LAMPS,
    '--tube-bore',
    '0.4mm',
    '--out',
    join(folder, 'plan'),
  );
  expect(err).toContain(
    'Please look again; if it is so, all is well:\n- tube-bore: 0.4 mm is stated; usually',
  );
  expect(code).toBe(0);
});

describe('simulate', () => {
  const PLAN = `format: twolamp-plan/1
seed: 5
array: { name: Test panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 280, height: 200, format: png16, tone: linear }
shots: [{ kind: dark }, { kind: even }]
`;

  test('writes a session with its truth, again where one is, but never over a session without a truth', async () => {
    const plan = join(folder, 'plan.yaml');
    await writeFile(plan, PLAN);
    const out = join(folder, 'simulated');
    for (const _ of [1, 2]) {
      const { code, out: json } = await twolamp('simulate', plan, '--json');
      expect(code).toBe(0);
      expect(JSON.parse(json).cells).toHaveLength(35);
    }
    const names = await readdir(out);
    expect(names).toHaveLength(4);
    expect(names).toContain('truth.json');
    const session = readSession(await readFile(join(out, 'session.yaml'), 'utf8'), 'session.yaml');
    for (const shot of session.shots) expect(names).toContain(shot.photo);

    await rm(join(out, 'truth.json'));
    const refused = await twolamp('simulate', plan);
    expect(refused.code).toBe(1);
    expect(refused.err).toContain('the file is there already');
  });

  test('a fault of the plan is named', async () => {
    await writeFile(join(folder, 'plan.yaml'), PLAN.replace('rows: 5', 'rows: five'));
    const { code, err } = await twolamp('simulate', join(folder, 'plan.yaml'));
    expect(err).toContain('line 3: array.rows: found "five"; expected a number');
    expect({ code, files: await readdir(folder) }).toEqual({ code: 1, files: ['plan.yaml'] });
  });
});

test('a fault of our own ends with 70, asks for a report and shows where', async () => {
  let err = '';
  const code = await run(['--version'], {
    out: () => {
      throw new TypeError('a broken pipe fitting');
    },
    err: (text) => {
      err += text;
    },
    interactive: false,
    ask: null,
  });
  expect(code).toBe(70);
  expect(err).toMatch(/Please report it.*TypeError: a broken pipe fitting\n +at /s);
});

test('what libraries print stays away from the figures', async () => {
  const bytes = await readFile(new URL('../../photos/src/fixtures/quarters.heic', import.meta.url));
  bytes.fill(0xff, bytes.length / 2, bytes.length / 2 + 40);
  await writeFile(join(folder, 'even.heic'), bytes);
  await writeFile(
    join(folder, 'session.yaml'),
    'format: twolamp-session/1\narray: { name: A, arrangement: square, rows: 4, columns: 5, tube-length: 150 mm, tube-bore: 2 mm, ' +
      'back-pitch: 3 mm, front-pitch: 4 mm }\nshots: [{ photo: even.heic, kind: even }]\n',
  );
  const log = vi.spyOn(console, 'log').mockImplementation(() => {});
  const { code, out, err } = await twolamp('measure', folder, '--json');
  expect(err).toContain('Decoding image failed'); // libheif's own words
  expect({ code, out }).toEqual({ code: 1, out: '' });
  expect(log).not.toHaveBeenCalled();
  log.mockRestore();
});
