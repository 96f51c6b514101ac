import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import sharp from 'sharp';
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
  test.each(['plan', 'begin', 'check', 'measure', 'report', 'simulate', 'demo'])(
    '%s --help shows an example and ends with 0',
    async (verb) => {
      const { code, out, err } = await twolamp(verb, '--help');
      expect(out).toContain(`Example:\n  twolamp ${verb}`);
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
    [
      'half of an exposure',
      ['plan', ...LAMPS, ...DIMENSIONS, '--lens', 'f/8'],
      '--lens and --exposure go together',
    ],
  ])('%s ends with 2', async (_, args, says) => {
    const { code, out, err } = await twolamp(...args);
    expect(err).toContain(says);
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
    ['a folder for a result', ['report', '.'], null, 'this is a folder; expected a result.json'],
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
      'tube-bore: found "3.4mm"; expected a bore no wider than the back pitch',
    ],
    ['front pitch below back pitch', ['--front-pitch', '2.9mm'], 'the tubes lean towards each other'],
    [
      'zero length',
      ['--tube-length', '0mm'],
      'the options: tube-length: found "0mm"; expected a length above zero',
    ],
    ['half a row', ['--rows', '2.5'], 'rows: found 2.5; expected a whole number'],
    [
      'an unknown criterion',
      ['--criterion', 'dawes'],
      'criterion: found "dawes"; expected rayleigh, sparrow',
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
      'plan.json',
      'plan.txt',
      'session.yaml',
      'sheet.pdf',
      'sheet.svg',
    ]);
    expect(first.err).toContain('Lamps and bulbs get hot');
    const session = readSession(await readFile(join(out, 'session.yaml'), 'utf8'), 'session.yaml');
    expect(session.array).toMatchObject({ rows: 24, columns: 30, tubeLengthMm: 150, tubeBoreMm: 2.6 });

    const second = await twolamp('plan', ...LAMPS, '--array', join(out, 'session.yaml'), '--out', out);
    expect(second.err).toContain('session.yaml: the file is there already, and is left as it is');
    expect(second.code).toBe(1);
  });
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

describe('check', () => {
  const SHOTS = [
    '{ photo: even.png, kind: even, exposure: 1/8 s }',
    '{ photo: dark.png, kind: dark, exposure: 1/8 s }',
    '{ photo: pair.png, kind: pair, spacing: 60 mm, distance: 2 m }',
  ];

  /** A panel of 4 × 5 bright squares, as a photo. */
  async function panel(name: string, light: number, width = 640): Promise<void> {
    const size = 60;
    const bright = { r: light, g: light, b: light };
    const input = await sharp({ create: { width: size, height: size, channels: 3, background: bright } })
      .png()
      .toBuffer();
    const tubes = Array.from({ length: 20 }, (_, i) => ({
      input,
      left: 40 + 100 * (i % 5),
      top: 30 + 100 * Math.floor(i / 5),
    }));
    await sharp({ create: { width, height: 480, channels: 3, background: { r: 5, g: 5, b: 5 } } })
      .composite(tubes)
      .png()
      .toFile(join(folder, name));
  }

  async function session(shots: readonly string[]): Promise<string> {
    const file = join(folder, 'session.yaml');
    const array =
      '{ name: A, arrangement: square, rows: 4, columns: 5, tube-length: 150 mm, tube-bore: 2 mm, back-pitch: 3 mm, front-pitch: 4 mm }';
    await writeFile(
      file,
      `format: twolamp-session/1\narray: ${array}\nshots:\n${shots.map((one) => `  - ${one}\n`).join('')}`,
    );
    return file;
  }

  test('a usable session passes, with a word on what is missing', async () => {
    await panel('even.png', 200);
    await panel('dark.png', 6);
    const { code, err, out } = await twolamp('check', await session(SHOTS.slice(0, 2)), '--json');
    expect(err).toContain('Ready to be measured');
    expect(err).toContain('- no bare shot: transmission is relative only');
    expect(JSON.parse(out)).toHaveLength(5); // one even shot only; no pairs, lamps, singles, bare shot
    expect(code).toBe(0);
  });

  test('photos that are no use are named, all of them, and it ends with 1', async () => {
    await panel('even.png', 255);
    await panel('dark.png', 200);
    await panel('pair.png', 15, 600);
    const { code, err, out } = await twolamp('check', await session(SHOTS), '--json');
    expect(err).toMatch(/^- even\.png: .* % of its pixels are clipped: expose shorter$/m);
    expect(err).toMatch(/^- dark\.png: light of .* were the lamps off\?$/m);
    expect(err).toContain('- pair.png: it has 600 × 480 pixels, the even shot 640 × 480');
    expect(err).toContain('- pair.png: its exposure time is unknown');
    expect(err).toContain('3 of its photos are no use; expected them shot again');
    expect(JSON.parse(out).filter((one: { spoils: boolean }) => one.spoils)).toHaveLength(4);
    expect(code).toBe(1);
  });

  test('a photo that can’t be read doesn’t hide the others', async () => {
    await writeFile(join(folder, 'even.png'), 'no picture');
    await panel('dark.png', 200);
    const { code, err } = await twolamp('check', await session(SHOTS.slice(0, 2)));
    expect(err).toContain('- even.png: this is not a picture of a readable type');
    expect(err).toContain('- dark.png: light of');
    expect(code).toBe(1);
  });
});

describe('begin', () => {
  const bright = { r: 200, g: 200, b: 200 };

  async function photo(name: string, colour: { r: number; g: number; b: number }): Promise<void> {
    const picture = sharp({ create: { width: 64, height: 48, channels: 3, background: colour } }).jpeg();
    await picture.withExif({ IFD2: { ExposureTime: '1/8' } }).toFile(join(folder, name));
  }

  test('guesses from names, marks the gaps, and leaves a session alone that is there', async () => {
    await mkdir(join(folder, 'measured'));
    await writeFile(join(folder, 'notes.txt'), 'mine');
    for (const name of ['pair-10 1.8m.jpg', 'pair-9 2m.jpg', 'dark.jpg', 'even.jpg', 'tube r3c4.jpg']) {
      await photo(name, bright);
    }
    const { code, err } = await twolamp('begin', folder);
    expect(code).toBe(0);
    expect(err).toContain('1 dark, 1 even, 2 pair, 1 single; 0 of them by look.');
    const text = await readFile(join(folder, 'session.yaml'), 'utf8');
    expect(text.split('\n').filter((line) => line.includes('photo:'))).toEqual([
      '  - { photo: dark.jpg, kind: dark }',
      '  - { photo: even.jpg, kind: even }',
      '  - { photo: pair-9 2m.jpg, kind: pair, spacing: ___ mm, distance: 2 m, turned: 0 deg, across: 0 mm, up: 0 mm } # fill in ___',
      '  - { photo: pair-10 1.8m.jpg, kind: pair, spacing: ___ mm, distance: 1.8 m, turned: 0 deg, across: 0 mm, up: 0 mm } # fill in ___',
      '  - { photo: tube r3c4.jpg, kind: single, row: 3, column: 4 }',
    ]);
    expect(() => readSession(text, 'session.yaml')).toThrow('array.arrangement: found "___"');

    const again = await twolamp('begin', folder);
    expect(again.err).toContain('the file is there already');
    expect(again.code).toBe(1);
    expect(await readFile(join(folder, 'session.yaml'), 'utf8')).toBe(text);
  });

  test('looks at the pictures where a name says nothing', async () => {
    await photo('IMG_0001.jpg', { r: 2, g: 2, b: 2 });
    const half = await sharp({ create: { width: 32, height: 48, channels: 3, background: bright } })
      .png()
      .toBuffer();
    await sharp({ create: { width: 64, height: 48, channels: 3, background: { r: 0, g: 0, b: 0 } } })
      .composite([{ input: half, left: 0, top: 0 }])
      .png()
      .toFile(join(folder, 'IMG_0002.png'));
    const { err } = await twolamp('begin', folder);
    expect(err).toContain('1 dark, 1 bare; 2 of them by look.');
    const text = await readFile(join(folder, 'session.yaml'), 'utf8');
    expect(text).toContain('IMG_0001.jpg, kind: dark } # guessed from its look\n');
    expect(text).toContain('kind: bare } # guessed from its look; no exposure time in the photo');
    expect(text).toContain('# No photo looks like an even shot');
  });

  test('a photo that can’t be read is named, and nothing is written', async () => {
    await writeFile(join(folder, 'even.jpg'), '');
    const { code, err } = await twolamp('begin', folder);
    expect(err).toContain('even.jpg: the file is empty');
    expect({ code, files: await readdir(folder) }).toEqual({ code: 1, files: ['even.jpg'] });
  });
});
