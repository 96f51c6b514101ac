import { createHash } from 'node:crypto';
import { type LinearPhoto, readSession } from '@twolamp/session';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Pictures } from './array/bench.js';
import { smallPlan } from './fixtures/small-plan.js';
import { simulateSession } from './simulate-session.js';

async function simulate(changes: Record<string, string>, pictures: Pictures = new Map()) {
  const files = new Map<string, Uint8Array>();
  const simulation = await simulateSession(
    smallPlan(changes),
    (name, file) => {
      files.set(name, file);
    },
    1,
    pictures,
  );
  return { ...simulation, files };
}

async function linear16(file: Uint8Array): Promise<Float64Array> {
  const raw = await sharp(file).toColourspace('grey16').raw({ depth: 'ushort' }).toBuffer();
  return Float64Array.from(
    new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2),
    (code) => code / 65535,
  );
}

const hash = (file: Uint8Array | string) => createHash('sha256').update(file).digest('hex');

const FULL = {
  photo: '{ width: 200, height: 150, format: jpeg, tint: [1, 0.95, 0.85], orientation: 6 }',
  camera: '{ drift-px: 0.3 }',
  build: '{ placement-jitter: 0.05 mm, transmission-scatter: 0.05, crosstalk: 0.02 }',
  faults: '{ blocked: 1, bent: 1, open: 1 }',
  lamp: '{ diameter: 8 mm }',
  light: '{ room-lux: 0.01, unevenness: 0.1 }',
  sheet: '{ halo-share: 0.05 }',
  shots:
    '[{ kind: dark }, { kind: even, repeats: 2 }, { kind: bare }, { kind: single, row: 2, column: 2 }, ' +
    '{ kind: lamp, across: 10 mm, up: 0 mm, distance: 2 m }, { kind: pair, spacing: 60 mm, distance: 2 m }]',
};

describe('simulateSession', () => {
  let full: Awaited<ReturnType<typeof simulate>>;
  beforeAll(async () => {
    full = await simulate(FULL);
  });

  test('same plan and seed, same bytes; another seed, other bytes', async () => {
    const again = await simulate(FULL);
    const other = await simulate({ ...FULL, seed: '6', faults: '{}', shots: '[{ kind: even, repeats: 2 }]' });
    const hashes = ({ files }: typeof full) => [...files].map(([name, file]) => `${name} ${hash(file)}`);
    expect(hashes(again)).toEqual(hashes(full));
    expect(again.session).toBe(full.session);
    expect(again.truth).toEqual(full.truth);
    expect(hash(other.files.get('even-1.jpg')!)).not.toBe(hash(full.files.get('even-1.jpg')!));
  });

  test('another session seed: the same array, other noise', async () => {
    const { truth, files } = await simulate({ ...FULL, 'session-seed': '6' });
    const built = ({ cells }: typeof truth) => cells.map(({ pointing, fault }) => ({ pointing, fault }));
    expect(built(truth)).toEqual(built(full.truth));
    for (const [name, file] of files) expect(hash(file)).not.toBe(hash(full.files.get(name)!));
  });

  test('a later shot leaves the photos before it as they were', async () => {
    const shots = FULL.shots.replace(/, { kind: pair.*/, ']');
    const second = await simulate({ ...FULL, shots });
    for (const [name, file] of second.files) expect(hash(file)).toBe(hash(full.files.get(name)!));
    expect(second.files.size).toBe(6);
  });

  describe('scenes', () => {
    const scenes = '[{ picture: street.png, width: 0.3 m, distance: 1.5 m }]';
    const grey = (light: number): LinearPhoto => ({
      width: 3,
      height: 2,
      light: Float32Array.from([light, 1, 0, 0, light, light]),
      clipped: new Uint8Array(6),
      exposureS: null,
      iso: null,
      aperture: null,
    });
    const withScene = (light: number, shots: Record<string, string>) =>
      simulate({ ...shots, scenes }, new Map([['street.png', grey(light)]]));

    test('are photographed last, listed in the truth alone, and leave all else as it was', async () => {
      const { session, files, truth } = await withScene(0.5, FULL);
      expect([...files.keys()]).toEqual([...full.files.keys(), 'scene.jpg']);
      for (const [name, file] of full.files) expect(hash(files.get(name)!)).toBe(hash(file));
      expect(session).toBe(full.session);
      expect(truth.cells).toEqual(full.truth.cells);
      expect(truth.photos.at(-1)).toMatchObject({ photo: 'scene.jpg', kind: 'scene' });
    });

    test('the same picture, the same bytes; another picture, others', async () => {
      const [one, again, other] = [
        await withScene(0.5, {}),
        await withScene(0.5, {}),
        await withScene(0.3, {}),
      ].map(({ files }) => hash(files.get('scene.png')!));
      expect(again).toBe(one);
      expect(other).not.toBe(one);
    });

    test('without their picture are refused', async () => {
      await expect(simulate({ scenes })).rejects.toThrow('pictures must hold street.png');
    });
  });

  test('session.yaml reads back and names every photo, in order, with its place', async () => {
    const { session, files, truth } = full;
    const read = readSession(session, 'session.yaml');
    expect(read.shots.map((shot) => shot.photo)).toEqual([...files.keys()]);
    expect(truth.photos.map((photo) => photo.photo)).toEqual([...files.keys()]);
    expect(read.shots.at(-1)).toMatchObject({ kind: 'pair', spacingMm: 60, distanceMm: 2000, turnedDeg: 0 });
    expect(read.array).toEqual(truth.array);
    const { width, height } = await sharp(files.get('dark.jpg')!)
      .autoOrient()
      .toBuffer({ resolveWithObject: true })
      .then(({ info }) => info);
    expect([width, height]).toEqual([200, 150]);
  });

  test('what the builder does not know about the walls stays out of session.yaml', async () => {
    const { session, truth } = await simulate({
      build: '{ wall: { index: 1.5, extinction: 0, gloss: 0.3 } }',
    });
    expect(session).not.toMatch(/gloss|wall/);
    expect(truth.wall).toMatchObject({ gloss: 0.3 });
  });

  // The definition of absolute transmission, read off the photos alone: light out of the tubes over the bores' area,
  // over the illuminance of the bare sheet, each photo scaled by its exposure. Neither lens nor sensor enters.
  test('the light in the even photo is what the truth says of the bare sheet', async () => {
    const { files, truth } = await simulate({
      array:
        '{ name: Test panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, ' +
        'back-pitch: 3 mm, front-pitch: 3 mm }',
      camera: '{ full-well: 1000000, read-noise: 0, framing: 0.6 }',
      build: '{ transmission-scatter: 0.1, crosstalk: 0.03 }',
      sheet: '{ halo-share: 0.1, halo-scale: 0.5 mm }',
      faults: '{ blocked: 2, open: 1 }',
      shots: '[{ kind: even }, { kind: bare }]',
    });
    const exposureOf = (kind: string) => {
      const photo = truth.photos.find((one) => one.kind === kind)!;
      return photo.exposureS * photo.iso;
    };
    const even = await linear16(files.get('even.png')!);
    const bare = await linear16(files.get('bare.png')!);
    const middle = bare[100 * 280 + 140] / exposureOf('bare');
    // 280 × 200 px, 0.6 of the height for 5 × 3 mm: 8 px/mm.
    const lightMm2 = even.reduce((sum, value) => sum + value, 0) / exposureOf('even') / 8 ** 2;
    const expectedMm2 =
      truth.cells.reduce((sum, cell) => sum + cell.absoluteTransmission, 0) * Math.PI * 1.25 ** 2;
    // One pixel of the bare photo has a shot noise of 0.12 %; the halo beyond its reach is 0.01 %.
    expect(Math.abs(lightMm2 / middle / expectedMm2 - 1)).toBeLessThan(0.005);
  });

  test('the brightest spot fills two thirds of the scale, and nothing is clipped', async () => {
    const { files } = await simulate({
      shots: '[{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m }]',
    });
    for (const file of files.values()) {
      const most = (await linear16(file)).reduce((a, b) => Math.max(a, b), 0);
      expect(most).toBeGreaterThan(0.5);
      expect(most).toBeLessThan(0.75);
    }
  });
});
