import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { afterAll, beforeAll, expect } from 'vitest';
import { type Bases, makeBases, readBases } from '../../bench/fuzz/bases.js';
import { runCommand } from '../../packages/cli/src/fixtures/run-command.js';
import { heldText } from './page-text.js';

/*
 * What the command says, verb by verb, on right files and on slips that people make, with the files that it leaves: the
 * words that a person at a terminal reads, held as text.
 */

let home: string;
let bases: Bases;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-said-'));
  await makeBases(join(home, 'panel'), 1);
  bases = await readBases(join(home, 'panel'));
}, 240_000);
afterAll(() => rm(home, { recursive: true }));

/** A command line with what it said, ended with and left, as a person reads it; folders and speed of this machine are left out. */
async function said(args: readonly string[], answer: string | null = null): Promise<string> {
  const { code, out, err } = await runCommand(args, answer);
  expect(out === '' || args.includes('--json')).toBe(true);
  return `$ twolamp ${args.join(' ')}\n${err}ended with ${code}\n`
    .replaceAll(home, '~')
    .replaceAll(/, about \d+ (s|min) left/g, '');
}

const DIMENSIONS =
  '--rows 12 --columns 15 --tube-length 190mm --tube-bore 3.2mm --back-pitch 3.7mm --front-pitch 4.6mm --lamps 60mm --room 4m';

/** What lies in a folder, by name. */
async function left(folder: string): Promise<string> {
  return `${folder.replace(home, '~')}: ${(await readdir(folder)).sort().join(', ')}\n`;
}

/** The session of the bases in a folder of its own, edited, and with other photos in the place of some. */
async function panel(
  name: string,
  edits: readonly (readonly [string | RegExp, string])[] = [],
  photos: Readonly<Record<string, () => Promise<Buffer>>> = {},
): Promise<string> {
  const folder = join(home, name);
  await mkdir(folder);
  let text = bases.session('whole');
  for (const [, photo] of text.matchAll(/photo: ([\w.-]+)/g)) {
    await writeFile(join(folder, photo!), await (photos[photo!]?.() ?? bases.photo(photo!)));
  }
  for (const [from, to] of edits) {
    expect(text).toMatch(from);
    text = text.replace(from, to);
  }
  await writeFile(join(folder, 'session.yaml'), text);
  return folder;
}

/** A photo of the session, changed; without its exposure, which lies in the file. */
const changed = (name: string, change: (photo: Sharp) => Sharp) => async () =>
  change(sharp(await bases.photo(name)))
    .png()
    .toBuffer();

/** Two lamps beside all tubes of so small a panel light them aslant, which looks like a camera that had moved. */
const ASLANT = [/.*lamp-[46].*\n/g, ''] as const;

heldText('said-check', async () => {
  const right = await panel('right', [ASLANT]);
  const spoilt = await panel('spoilt', [ASLANT], {
    'even-2.png': changed('even-2.png', (photo) => photo.linear(3, 0)),
    'lamp-1.png': changed('lamp-1.png', (photo) => photo.resize(100, 80)),
    'lamp-2.png': async () => Buffer.from('no picture'),
    'lamp-3.png': changed('lamp-3.png', (photo) => photo.linear(0.02, 0)),
    'pair-1.png': changed('pair-1.png', (photo) =>
      photo
        .affine([1, 0, 0, 1], { odx: 6, background: '#000' })
        .resize(128, 104, { fit: 'cover', position: 'left' }),
    ),
    'single.png': () => bases.photo('dark.png'),
  });
  const slipped = await panel('slipped', [ASLANT, ['front-pitch: 3.9 mm', 'front-pitch: 4.9 mm']]);
  const few = await panel('few', [ASLANT, [/.*kind: (bare|pair|single).*\n/g, '']]);
  const odd = await panel('odd', [
    ASLANT,
    ['rows: 6', 'rows: 7'],
    ['tube-length: 120 mm', 'tube-length: 12 mm'],
  ]);
  return [
    await said(['check', right]),
    await said(['check', spoilt]),
    await said(['check', few]),
    await said(['check', odd]),
    await said(['check', slipped, '--mend']),
    await said(['check', slipped, '--mend'], 'no'),
    await said(['check', slipped, '--mend'], 'yes'),
    await left(slipped),
  ].join('\n');
});

heldText('said-measure', async () => {
  const right = await panel('measured');
  const slipped = await panel('measured-slipped', [
    [/.*pair-[12].*\n/g, ''],
    ['front-pitch: 3.9 mm', 'front-pitch: 4.9 mm'],
  ]);
  const few = await panel('measured-few', [[/.*kind: (bare|lamp|pair|single).*\n/g, '']]);
  return [
    await said(['measure', right]),
    await left(join(right, 'measured')),
    await said(['measure', right]),
    await said(['measure', slipped]),
    await said(['measure', few, '--out', join(few, 'figures')]),
    await left(join(few, 'figures')),
  ].join('\n');
});

heldText('said-of-results', async () => {
  const { folder, scene } = { folder: join(home, 'panel'), scene: join(home, 'panel', 'scene.png') };
  const result = join(folder, 'measured', 'result.json');
  const rebuilt = await panel('rebuilt', [['Tiny panel', 'Tiny panel, rebuilt']]);
  await said(['measure', rebuilt]);
  const lens = ['--lens', 'f/8', '--exposure', '3 min'];
  return [
    await said(['report', result]),
    await said(['report', folder]),
    await said(['compare', result, join(rebuilt, 'measured')]),
    await left(join(rebuilt, 'measured', 'compared')),
    await said(['compare', result, result]),
    await said(['compare', result, join(rebuilt, 'measured'), result, '--out', join(home, 'history')]),
    await said(['preview', result, '--scene', scene, '--width', '0.5m', '--distance', '1m', ...lens]),
    await left(join(folder, 'measured', 'preview')),
    await said(['preview', result, '--scene', scene, '--width', '0.5m', '--distance', '1m', '--lens', 'f/8']),
    await said(['weigh', result, '--subject', '0.5m', '--at', '2m', '--walls', 'matte', ...lens]),
    await said([
      'weigh',
      result,
      '--scene',
      scene,
      '--width',
      '0.5m',
      '--distance',
      '1m',
      '--length',
      '150mm',
    ]),
    await left(join(folder, 'measured', 'weighed')),
    await said(['weigh', result, '--subject', '0.5m']),
    await said(['weigh', result, '--bore', '4mm', '--back-pitch', '3mm']),
    await said(['weigh', result, '--minutes', '0']),
  ].join('\n');
});

/* What rests on a slip in the session is told as doubtful by every verb, which then ends with 3. */
heldText('said-of-doubtful-results', async () => {
  const slipped = await panel('doubtful', [
    [/.*pair-[12].*\n/g, ''],
    ['front-pitch: 3.9 mm', 'front-pitch: 4.9 mm'],
  ]);
  await said(['measure', slipped]);
  const scene = ['--scene', join(home, 'panel', 'scene.png'), '--width', '0.5m', '--distance', '1m'];
  return [
    await said(['report', slipped]),
    await said(['compare', join(home, 'panel'), slipped, '--out', join(home, 'doubtful-compared')]),
    await said(['preview', slipped, ...scene]),
    await said(['weigh', slipped]),
  ].join('\n');
});

/* Slips with files and options, each told with what was expected. */
heldText('said-refused', async () => {
  const folder = join(home, 'refused');
  await mkdir(join(folder, 'empty'), { recursive: true });
  const put = async (name: string, text: string | Buffer) => {
    await writeFile(join(folder, name), text);
    return join(folder, name);
  };
  const session = bases.session('even');
  const plan = bases.plan;
  const scene = join(home, 'panel', 'scene.png');
  const result = join(home, 'panel', 'measured', 'result.json');
  const lines = [
    ['check', await put('utf16.yaml', Buffer.from(`\ufeff${session}`, 'utf16le'))],
    ['check', await put('binary.yaml', Buffer.from([0x66, 0x6f, 0xff, 0xfe, 0xfd]))],
    ['check', await put('session.yaml', session)],
    ['measure', await put('bracketed.yaml', session.replace('tone: srgb', 'tone: bracketed'))],
    ['measure', join(folder, 'empty')],
    ['begin', join(folder, 'empty')],
    ['begin', join(folder, 'session.yaml')],
    ['begin', join(folder, 'nowhere')],
    ['report', await put('no-result.json', '{ "format": "twolamp-result/2" }')],
    ['report', await put('broken.json', '{ "format": ')],
    ['simulate', join(folder, 'empty')],
    ['simulate', await put('plan.yaml', plan.replace('rows: 6', 'rows: 0'))],
    ['preview', result, '--scene', join(folder, 'none.png'), '--width', '0.5m', '--distance', '1m'],
    ['preview', result, '--scene', scene, '--width', '0.5', '--distance', '1m'],
    ['preview', result, '--scene', scene, '--width', '0.5m', '--distance', '1m', '--tube-wall', 'pink'],
    ['weigh', result, '--lens', 'f8', '--exposure', '3 min'],
    ['weigh', result, '--lens', 'f/8', '--exposure', '3'],
    ['weigh', result, '--lens', 'f/8', '--exposure', '0.5 h', '--out', join(folder, 'half-an-hour')],
    ['weigh', result, '--lens', '8', '--exposure', '1.5 min', '--out', join(folder, 'a-minute')],
    ['plan', '--lamps', '60mm'],
    ['plan', ...DIMENSIONS.split(' '), '--room', '0.3m', '--out', join(folder, 'short')],
    ['plan', ...DIMENSIONS.split(' '), '--criterion', 'dawes', '--out', join(folder, 'dawes')],
    ['plan', '--array', join(folder, 'empty'), '--lamps', '60mm', '--room', '4m'],
    ['measures', 'x'],
  ];
  const told: string[] = [];
  for (const args of lines) told.push(await said(args));
  const half = JSON.parse(await readFile(join(folder, 'half-an-hour', 'weigh.json'), 'utf8'));
  const minute = JSON.parse(await readFile(join(folder, 'a-minute', 'weigh.json'), 'utf8'));
  expect([half.lens, minute.lens]).toEqual([
    { fNumber: 8, exposureS: 1800 },
    { fNumber: 8, exposureS: 90 },
  ]);
  return told.join('\n');
});

heldText('said-begin', async () => {
  const named = await panel('named');
  await rm(join(named, 'session.yaml'));
  const listed = await panel('listed');
  const text = await readFile(join(listed, 'session.yaml'), 'utf8');
  await rm(join(listed, 'session.yaml'));
  await writeFile(join(listed, 'session-evening.yaml'), text);
  await writeFile(join(listed, 'raw.dng'), 'raw');
  const long = text.replace(/.*lamp-9.*\n/, '');
  await writeFile(join(listed, 'short.yaml'), long);
  return [
    await said(['begin', named]),
    await readFile(join(named, 'session.yaml'), 'utf8'),
    await said(['begin', named]),
    await said(['begin', listed, '--list', join(listed, 'short.yaml')]),
    await said(['begin', listed]),
    await said(['begin', listed], 'no'),
    await said(['begin', listed], 'yes'),
    await said(['check', join(home, 'nowhere')]),
  ].join('\n');
});

/** The words of a drawing, a line each. */
const svgWords = (svg: string) =>
  [...svg.matchAll(/<text[^>]*>([^<]*)</g)].map(([, words]) => `  ${words}\n`).join('');

heldText('said-plan', async () => {
  const plan = (more: string) => said(['plan', ...DIMENSIONS.split(' '), ...more.split(' ')]);
  const out = join(home, 'plan');
  return [
    await plan(`--lens f/8 --exposure 180s --out ${out}`),
    await left(out),
    await readFile(join(out, 'session-evening.yaml'), 'utf8'),
    await readFile(join(out, 'session-thorough.yaml'), 'utf8'),
    svgWords(await readFile(join(out, 'sheet.svg'), 'utf8')),
    svgWords(await readFile(join(out, 'bench.svg'), 'utf8')),
    await plan(`--out ${out}`),
    await plan(`--tube-length 150mm,190mm --out ${join(home, 'designs')}`),
    await left(join(home, 'designs')),
    await plan(`--tube-bore 0.4mm --back-pitch 1mm --front-pitch 1.2mm --out ${join(home, 'odd-plan')}`),
    await plan(`--tube-bore 3.9mm --out ${join(home, 'misfit')}`),
    await plan('--lens f/8'),
    await plan('--tube-length 1mm,2mm,3mm,4mm,5mm --tube-bore 1mm,2mm,3mm,4mm,5mm'),
    await said([
      'plan',
      '--array',
      join(home, 'panel', 'session.yaml'),
      '--lamps',
      '60mm',
      '--room',
      '2m',
      '--criterion',
      '0.1',
      '--out',
      join(home, 'of-session'),
    ]),
    await said(['simulate', join(home, 'panel', 'plan.yaml'), '--out', join(home, 'simulated')]),
    await left(join(home, 'simulated')),
  ].join('\n');
});
