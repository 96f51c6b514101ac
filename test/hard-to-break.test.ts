import { execFileSync } from 'node:child_process';
import { mkdir, mkdtemp, readdir, readFile, rm, truncate, writeFile } from 'node:fs/promises';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { readPhoto } from '@twolamp/photos';
import { InputError, readSession, type Result } from '@twolamp/session';
import sharp, { type Sharp } from 'sharp';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { type Bases, makeBases, readBases } from '../bench/fuzz/bases.js';
import { drawCase } from '../bench/fuzz/cases.js';
import { drawFrom } from '../bench/fuzz/draw.js';
import { encoded, foreignPicture } from '../bench/fuzz/mutate-photo.js';
import { mutatedYaml } from '../bench/fuzz/mutate-text.js';
import { runCase } from '../bench/fuzz/run-case.js';
import { type Said, twolamp } from '../bench/fuzz/twolamp.js';

/*
 * What was found when somebody tried to break the command, each by name: a slip of a person must be told as one, and
 * neither hang, nor end as a fault of ours, nor pass as a result. bench/fuzz looks for more.
 */

let home: string;
let bases: Bases;
let folder: string;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-hard-'));
  await makeBases(join(home, 'bases'), 1);
  bases = await readBases(join(home, 'bases'));
}, 240_000);
afterAll(() => rm(home, { recursive: true }));
beforeEach(async () => {
  folder = await mkdtemp(join(home, 'case-'));
});
afterEach(() => rm(folder, { recursive: true }));

type Subset = Parameters<Bases['session']>[0];
type Edit = readonly [from: string | RegExp, to: string];

async function putSession(subset: Subset, edits: readonly Edit[] = []): Promise<void> {
  let text = bases.session(subset);
  for (const [, name] of text.matchAll(/photo: ([\w.-]+)/g)) {
    await writeFile(join(folder, name!), await bases.photo(name!));
  }
  for (const [from, to] of edits) {
    expect(text).toMatch(from);
    text = text.replace(from, to);
  }
  await writeFile(join(folder, 'session.yaml'), text);
}

const measure = () => twolamp('measure', folder, '--out', join(folder, 'out'));

async function expectRefused(said: Said | Promise<Said>, says: RegExp): Promise<void> {
  const { code, err } = await said;
  expect({ code, err }).toEqual({ code: 1, err: expect.stringMatching(says) });
  expect(await readdir(join(folder, 'out')).catch(() => [])).toEqual([]);
}

describe('slips in session.yaml that ended as a fault of ours', () => {
  const beyondAllBounds = ([field, subset, written]: [string, Subset, RegExp]) =>
    ['1e300', '1e-300'].map((value): [string, Subset, Edit] => [
      `${field} of ${value}`,
      subset,
      [written, `$1${value}$2`],
    ]);

  test.each<[string, Subset, Edit]>([
    ...[
      ['a tube length', 'even', /(tube-length: )120( mm)/],
      ['a tube bore', 'even', /(tube-bore: )2.5( mm)/],
      ['a back pitch', 'even', /(back-pitch: )3( mm)/],
      ['a front pitch', 'even', /(front-pitch: )3.9( mm)/],
      ['a distance', 'pairs', /(kind: pair.*distance: )1( m)/],
      ['a spacing', 'pairs', /(spacing: )\S+( mm)/],
    ].flatMap((one) => beyondAllBounds(one as [string, Subset, RegExp])),
    ['an ISO of 1e-300', 'even', ['kind: even', 'kind: even, iso: 1e-300']],
    ['an aperture of 1e300', 'even', ['kind: even', 'kind: even, aperture: 1e300']],
    ['front-pitch 39 mm for 3.9', 'even', ['front-pitch: 3.9 mm', 'front-pitch: 39 mm']],
    ['front-pitch 390 mm', 'even', ['front-pitch: 3.9 mm', 'front-pitch: 390 mm']],
    ['tube-length 1 mm', 'even', ['tube-length: 120 mm', 'tube-length: 1 mm']],
    ['a lamp 1 mm away', 'whole', [/kind: lamp(.*)distance: 1 m/, 'kind: lamp$1distance: 1 mm']],
    ['pair distances in mm for m', 'pairs', [/kind: pair(.*)distance: 1 m/, 'kind: pair$1distance: 1 mm']],
    ['an endless exposure', 'even', ['kind: even', 'kind: even, exposure: 1e300 s']],
    ['no exposure at all', 'even', ['kind: even', 'kind: even, exposure: 1e-300 s']],
    ['a huge ISO', 'even', ['kind: even', 'kind: even, iso: 1e300']],
    ['a tiny aperture', 'even', ['kind: even', 'kind: even, aperture: 1e-300']],
    ['a huge lamp', 'even', [/lamp-diameter: .*/, 'lamp-diameter: 1e300 mm']],
  ])('%s', async (_, subset, edit) => {
    await putSession(subset, [edit]);
    await expectRefused(measure(), /session.yaml, line \d+: .*expected/);
  });

  test.each<[string, string[]]>([
    [
      'the preview’s width',
      ['preview', 'RESULT', '--scene', 'SCENE', '--width', '1e300 m', '--distance', '1 m'],
    ],
    ['the plan’s room', ['plan', '--lamps', '60 mm', '--room', '1e-300 m']],
    ['the plan’s lamps', ['plan', '--lamps', '1e300 mm', '--room', '4 m']],
  ])('%s beyond all bounds', async (_, args) => {
    const { code, err } = await twolamp(...args);
    expect(err).toMatch(/Expected a .* from .* to /);
    expect(code).toBe(2);
  });
});

test('a lamp of 150 mm, possible but unusual, is asked about and measured', async () => {
  await putSession('even', [[/lamp-diameter: .*/, 'lamp-diameter: 150 mm']]);
  const { code, err } = await measure();
  expect({ code, err }).toEqual({
    code: 0,
    err: expect.stringContaining('lamp-diameter: 150 mm is stated; usually 0 mm to 100 mm'),
  });
});

describe('photos that ended as a fault of ours', () => {
  /** A sheet with spots 3 pixels apart. */
  const fineSpots = () => {
    const data = Buffer.alloc(64 * 48, 4);
    for (let y = 15; y < 33; y += 3) for (let x = 20; x < 44; x += 3) data[y * 64 + x] = 220;
    return sharp(data, { raw: { width: 64, height: 48, channels: 1 } })
      .png()
      .toBuffer();
  };
  const even = () => bases.photo('even-1.png');
  const damaged = async (encoding: string) => {
    const bytes = await encoded(await even(), encoding);
    const from = Math.floor(bytes.length / 3);
    bytes.fill(0, from, from + 60);
    return bytes;
  };

  test.each<[string, string, () => Promise<Buffer>]>([
    ['a 1-bit PNG', 'even-1.png', async () => encoded(await even(), '1-bit png')],
    ['a 1-bit TIFF', 'even-1.png', async () => encoded(await even(), '1-bit tiff')],
    ['a damaged tiled TIFF', 'even-1.png', () => damaged('tiled tiff')],
    ['a damaged WebP', 'even-1.png', () => damaged('webp')],
    ['spots 3 pixels apart', 'even-1.png', fineSpots],
  ])('%s is refused by name', async (_, name, make) => {
    await putSession('even');
    await writeFile(join(folder, name), await make());
    await expectRefused(measure(), /even-1.png: /);
  });

  test('an even shot that one lamp lit is refused by name', async () => {
    await putSession('even');
    const light = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="128" height="104"><radialGradient id="a" r="55%">' +
        '<stop offset="0" stop-color="#fff"/><stop offset="1" stop-color="#111"/></radialGradient>' +
        '<rect width="128" height="104" fill="url(#a)"/></svg>',
    );
    const lit = await sharp(await even())
      .composite([{ input: light, blend: 'multiply' }])
      .png()
      .toBuffer();
    await writeFile(join(folder, 'even-1.png'), lit);
    await expectRefused(measure(), /even-1.png: its light falls off to \S+ % across the array/);
  });

  const elsewhere = (photo: Sharp) =>
    photo.extract({ left: 7, top: 5, width: 121, height: 99 }).extend({ right: 7, bottom: 5 });
  const mostlyDark = (photo: Sharp) =>
    photo.composite([
      { input: { create: { width: 104, height: 104, channels: 3, background: '#000' } }, left: 0, top: 0 },
    ]);
  test.each([
    ['from elsewhere', elsewhere],
    ['with few tubes lit', mostlyDark],
  ])('a second even shot %s is refused or left out, by name', async (_, change) => {
    await putSession('even');
    const moved = await change(sharp(await even()))
      .png()
      .toBuffer();
    await writeFile(join(folder, 'even-2.png'), moved);
    const { code, err } = await measure();
    const says = code === 1 ? err : await readFile(join(folder, 'out', 'result.json'), 'utf8');
    expect(says).toContain('even-2.png');
    expect(code).not.toBe(70);
  });
});

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

describe('what no decoder can see', () => {
  const rightTubes = ({ cells }: { cells: { fault: string }[] }) => cells.map(({ fault }) => fault);

  test.each(['tiff', 'tiled plain tiff'])(
    'rows that are lost in a %s show where its repeat disagrees, and make no tube faulty',
    async (encoding) => {
      await putSession('even');
      await measure();
      const right = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
      const bytes = await encoded(await bases.photo('even-2.png'), encoding);
      const from = Math.floor(0.45 * bytes.length);
      bytes.fill(0, from, from + Math.floor(0.04 * bytes.length));
      await writeFile(join(folder, 'even-2.png'), bytes);
      await measure();
      const result = JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
      expect(result.findings).toContainEqual(
        expect.objectContaining({
          code: 'repeats-disagree',
          about: 'even-2.png',
          values: expect.objectContaining({ against: 'even-1.png' }),
        }),
      );
      expect(rightTubes(result)).toEqual(rightTubes(right));
    },
  );
});

describe('one changed byte of a plain TIFF', () => {
  test('makes no tube faulty, and moves no transmission by its uncertainty', async () => {
    const file = join(bases.folder, 'even-2.png');
    const exposed = await readPhoto(file, { tone: 'srgb', channel: 'luminance' });
    const stated = `exposure: ${exposed.exposureS} s, iso: ${exposed.iso}, aperture: ${exposed.aperture}`;
    await putSession('even', [[/photo: even-2.png, kind: even/, `$&, ${stated}`]]);
    const whole = await sharp(file).tiff({ compression: 'none' }).toBuffer();
    const measured = async (bytes: Buffer): Promise<Result> => {
      await writeFile(join(folder, 'even-2.png'), bytes);
      await measure();
      return JSON.parse(await readFile(join(folder, 'out', 'result.json'), 'utf8'));
    };
    const right = await measured(whole);
    for (const share of [0.38, 0.44, 0.5, 0.53, 0.62]) {
      const bytes = Buffer.from(whole);
      bytes[Math.floor(share * bytes.length)]! ^= 0x80;
      const { cells } = await measured(bytes);
      expect(cells.map(({ fault }) => fault)).toEqual(right.cells.map(({ fault }) => fault));
      const moved = cells.map(({ transmission: now }, k) => {
        const was = right.cells[k]!.transmission;
        return Math.abs(now.relative! - was.relative!) / was.relativeUncertainty!;
      });
      expect(Math.max(...moved)).toBeLessThan(1);
    }
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

/** Some 0.05 s each. */
const CHEAP_CASES = 200;

describe('the cheapest cases of bench/fuzz', () => {
  test('mutated results, options and files: nothing is wrong', async () => {
    for (let seed = 0; seed < CHEAP_CASES; seed++) {
      const outcome = await runCase(drawCase(bases, 7_000_000 + seed, ['result', 'options', 'files']));
      expect({ seed, what: outcome.what, wrong: outcome.wrong }).toEqual({
        seed,
        what: outcome.what,
        wrong: [],
      });
    }
  }, 900_000);

  test('mutated sessions are read or refused', () => {
    for (let seed = 0; seed < 300; seed++) {
      const text = mutatedYaml(bases.session('whole'), drawFrom(8_000_000 + seed));
      try {
        readSession(text, 'session.yaml');
      } catch (error) {
        expect({ seed, error }).toEqual({ seed, error: expect.any(InputError) });
        expect((error as Error).message.length).toBeLessThan(1600);
      }
    }
  });
});
