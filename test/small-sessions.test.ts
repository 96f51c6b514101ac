import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readResult, type Result } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { figuresMoved } from '../bench/doubt/figures-moved.js';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

/** A few tubes in even light, photographed in ways that a wrong step between file and figure would show in. */
const ROWS = 6;
const COLUMNS = 8;
const FAULTS = '{ row: 2, column: 3, fault: weak, transmission: 0.5 }, { row: 5, column: 6, fault: blocked }';

interface Asked {
  readonly photo: string;
  readonly shots: string;
}

function plan({ photo, shots }: Asked): string {
  return `format: twolamp-plan/1
seed: 31
array: { name: Small panel, arrangement: square, rows: ${ROWS}, columns: ${COLUMNS}, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { ${photo} }
light: { even-lux: 100000 }
build: { transmission-scatter: 0.01 }
faults: { list: [${FAULTS}] }
shots: [${shots}]
`;
}

const ORDINARY: Asked = {
  photo: 'width: 300, height: 230, format: png8',
  shots: '{ kind: dark }, { kind: even, repeats: 2 }',
};

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-small-'));
});
afterAll(() => rm(folder, { recursive: true }));

/** Makes a session's photos; the folder they lie in. */
async function made(name: string, asked: Asked): Promise<string> {
  const home = join(folder, name);
  await mkdir(home);
  await writeFile(join(home, 'plan.yaml'), plan(asked));
  const { code, err } = await twolamp('simulate', join(home, 'plan.yaml'), '--out', home);
  if (code !== 0) throw new Error(err);
  return home;
}

async function measured(home: string): Promise<Result> {
  const { code, err } = await twolamp('measure', join(home, 'session.yaml'));
  if (code !== 0) throw new Error(err);
  const file = join(home, 'measured', 'result.json');
  return readResult(await readFile(file, 'utf8'), file);
}

const truthOf = async (home: string): Promise<Truth> =>
  JSON.parse(await readFile(join(home, 'truth.json'), 'utf8'));

/** How far relative transmissions lie from the truth at most, all tubes. */
function farthestOff({ cells }: Result, truth: Truth): number {
  const healthy = truth.cells.filter(({ fault }) => fault === 'none');
  const typical = healthy.map((cell) => cell.relativeTransmission).sort((a, b) => a - b)[
    healthy.length >> 1
  ]!;
  return Math.max(
    ...truth.cells.map(({ relativeTransmission }, k) =>
      Math.abs(cells[k]!.transmission.relative! - relativeTransmission / typical),
    ),
  );
}

/** So small an array's trend takes up a share of its tubes' own scatter. */
const LIGHT = 0.02;

async function recolour(home: string, photos: readonly string[], rgb: readonly [number, number, number]) {
  for (const photo of photos) {
    const file = join(home, photo);
    const { data, info } = await sharp(await readFile(file))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    for (let i = 0; i < data.length; i++) data[i] = Math.round(data[i]! * rgb[i % 3]!);
    await sharp(data, { raw: { width: info.width, height: info.height, channels: 3 } })
      .png()
      .toFile(file);
  }
}

// A green lamp: red and blue are black. Luminance is seven tenths green (IEC 61966-2-1), so all figures stand.
test('light is luminance: a photo without red or blue is measured all the same', async () => {
  const home = await made('green', ORDINARY);
  await recolour(home, ['dark.png', 'even-1.png', 'even-2.png'], [0, 1, 0]);
  expect(farthestOff(await measured(home), await truthOf(home))).toBeLessThan(LIGHT);
});

test('after a bump another even shot opens a camera position: each tube’s light is as before', async () => {
  const bump = (px: number, roll: number) => `{ kind: even, bump: { right-px: ${px}, roll: ${roll} deg } }`;
  const home = await made('bumped', {
    photo: 'width: 360, height: 240, format: png8', // 34 pixels a pitch
    shots: `{ kind: dark }, { kind: even }, ${bump(13, 0.5)}, ${bump(-44, 0)}`,
  });
  const checked = await twolamp('check', join(home, 'session.yaml'));
  expect(checked.code).toBe(0);
  expect(checked.err).toMatch(
    /even-2\.png: taken from another place \(the camera had moved by about 1[1-5] /,
  );
  const result = await measured(home);
  expect(farthestOff(result, await truthOf(home))).toBeLessThan(LIGHT);
  const moves = result.findings.filter(({ code }) => code === 'camera-moved');
  expect(moves).toMatchObject([{ about: 'even-2.png' }, { about: 'even-3.png' }]);
  for (const [n, px] of [13, 44].entries()) {
    const { movedPx } = moves[n]!.values as { movedPx: number };
    expect(Math.abs(movedPx - px)).toBeLessThan(0.5);
  }
});

// The camera pushed by 7 pixels and half a degree among the lamps, by 1.3 pitches among the pairs, an even shot after each.
test('a session bumped twice gives the figures of one whose camera stood still', async () => {
  const lamps = [-120, 0, 120].flatMap((up) =>
    [-160, 0, 160].map((across) => `{ kind: lamp, across: ${across} mm, up: ${up} mm, distance: 1.5 m }`),
  );
  const pairs = [0.5, 0.8, 1.1, 1.5, 2].map((m) => `{ kind: pair, spacing: 60 mm, distance: ${m} m }`);
  const shots = (...pushes: readonly [string, string]) =>
    [
      '{ kind: dark }, { kind: even, repeats: 2 }',
      ...lamps.slice(0, 4),
      pushes[0],
      ...lamps.slice(4),
      ...pairs.slice(0, 2),
      pushes[1],
      ...pairs.slice(2),
    ].join(', ');
  const photo = 'width: 360, height: 280, format: png8';
  const even = '{ kind: even }';
  const bumped = [
    '{ kind: even, bump: { right-px: 5, down-px: -5, roll: 0.5 deg } }',
    '{ kind: even, bump: { right-px: -36, down-px: 26 } }',
  ] as const;
  const [still, pushed] = await Promise.all([
    made('still', { photo, shots: shots(even, even) }).then(measured),
    made('pushed', { photo, shots: shots(...bumped) }).then(measured),
  ]);
  expect(pushed.findings.filter(({ code }) => code === 'camera-moved')).toHaveLength(2);
  expect(still.findings.filter(({ code }) => code === 'camera-moved')).toEqual([]);
  // The photos' noise differs, and nothing else: all that moves does so within the uncertainty of the two.
  expect(figuresMoved(still, pushed)).toEqual([]);
});

// Photos of 84 pixels a pitch are worked on at a fraction of their size; places are told in the photo's own pixels.
test('places in a large photo are those of its own pixels', async () => {
  const home = await made('large', { ...ORDINARY, photo: 'width: 720, height: 560, format: png8' });
  const { cells } = await measured(home);
  const truth = await truthOf(home);
  const off = truth.cells.flatMap(({ fault, xPx, yPx }, k) =>
    fault === 'none' ? [[cells[k]!.xPx - xPx, cells[k]!.yPx - yPx] as const] : [],
  );
  const mean = (axis: 0 | 1) => off.reduce((sum, one) => sum + one[axis], 0) / off.length;
  expect(Math.hypot(mean(0), mean(1))).toBeLessThan(0.1);
});

// Twice the f-number lets a quarter of the light through (ISO 2720: exposure goes with t/N²). The photos are shot at times that
// fall by four, and said to be shot at one time with f-numbers that rise by two.
test('an exposure series by aperture gives the same light as one by time', async () => {
  const home = await made('bracketed', {
    photo: 'width: 300, height: 230, format: png8',
    shots: `{ kind: even, exposure: 1 s, iso: 100 }, { kind: even, exposure: 1/4 s, iso: 100 },
  { kind: even, exposure: 1/16 s, iso: 100 }`,
  });
  const file = join(home, 'session.yaml');
  let stop = 0;
  const text = (await readFile(file, 'utf8')).replace('tone: srgb', 'tone: bracketed');
  const stated = text.replace(
    /(photo: even\S*)(.*)kind: even(.*)/g,
    (_, photo) => `${photo} kind: even, exposure: 1 s, iso: 100, aperture: ${2 ** ++stop} }`,
  );
  expect(stop).toBe(3);
  await writeFile(file, stated);
  expect(farthestOff(await measured(home), await truthOf(home))).toBeLessThan(2 * LIGHT);
});
