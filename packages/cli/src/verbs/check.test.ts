import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { twolamp } from '../fixtures/run-command.js';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-check-'));
});
afterEach(() => rm(folder, { recursive: true }));

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
  expect(err).toContain('- no bare shot, so the tubes’ light is known only against each other');
  expect(JSON.parse(out)).toHaveLength(5); // only one even shot; no pairs, lamps, singles, bare shot
  expect(code).toBe(0);
});

test('each photo is read once', async () => {
  for (const [name, light] of Object.entries({ even: 200, again: 200, lamp: 120, dark: 6 }))
    await panel(`${name}.png`, light);
  const { err } = await twolamp(
    'check',
    await session([
      SHOTS[0]!,
      '{ photo: again.png, kind: even, exposure: 1/8 s }',
      '{ photo: lamp.png, kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m, exposure: 1/8 s }',
      SHOTS[1]!,
    ]),
  );
  const read = [...err.matchAll(/^\d+ of \d+: (\w+)\.png/gm)].map(([, name]) => name);
  expect(read).toEqual(['even', 'dark', 'again', 'lamp']);
});

test('photos that cannot be used are named, all of them, and it ends with 1', async () => {
  await panel('even.png', 255);
  await panel('dark.png', 200);
  await panel('pair.png', 15, 600);
  const { code, err, out } = await twolamp('check', await session(SHOTS), '--json');
  expect(err).toMatch(/^- even\.png: .* % of its pixels are clipped: use a shorter exposure$/m);
  expect(err).toMatch(/^- dark\.png: it shows light up to .* were the lamps off\?$/m);
  expect(err).toContain('- pair.png: it has 600 × 480 pixels, the even shot 640 × 480');
  expect(err).toContain('- pair.png: its exposure time is unknown');
  expect(err).toContain('3 of its photos cannot be used as they are; expected new photos in their place');
  expect(JSON.parse(out).filter((one: { spoils: boolean }) => one.spoils)).toHaveLength(4);
  expect(code).toBe(1);
});

test('a photo that can’t be read doesn’t hide the others', async () => {
  await writeFile(join(folder, 'even.png'), 'no picture');
  await panel('dark.png', 200);
  const { code, err } = await twolamp('check', await session(SHOTS.slice(0, 2)));
  expect(err).toContain('- even.png: this is not a picture of a readable type');
  expect(err).toContain('- dark.png: it shows light up to');
  expect(code).toBe(1);
});

/** 6 × 8 tubes, 12 pixels apart; lamps beside what the array sees light one side of each exit at its rim. */
const ASLANT = `format: twolamp-plan/1
seed: 3
array: { name: Tiny panel, arrangement: square, rows: 6, columns: 8, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.9 mm }
photo: { width: 128, height: 104, format: png8 }
lamp: { diameter: 4 mm }
shots:
  - { kind: dark }
  - { kind: even }
  - { kind: lamp, across: -60 mm, up: 0 mm, distance: 1 m }
  - { kind: lamp, across: 60 mm, up: 0 mm, distance: 1 m }
  - { kind: lamp, across: 0 mm, up: 0 mm, distance: 1 m }
`;

test('tubes lit aslant may be used: the camera need not have moved, but may have', async () => {
  const plan = join(folder, 'plan.yaml');
  await writeFile(plan, ASLANT);
  const home = join(folder, 'tiny');
  expect((await twolamp('simulate', plan, '--out', home)).code).toBe(0);
  const { code, err } = await twolamp('check', join(home, 'session.yaml'));
  expect(err).toMatch(
    /lamp-1\.png: its light lies about 5 pixels \(0\.4 of a pitch\) beside the tubes’ middles: a lamp far to the side does that\. If the camera/,
  );
  expect(err).not.toContain('lamp-3.png:');
  expect(err).toContain('Ready to be measured');
  expect(code).toBe(0);
});
