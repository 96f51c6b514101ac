import { mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSession } from '@twolamp/session';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { twolamp } from '../fixtures/run-command.js';

const planWith = (scene: string) => `format: twolamp-plan/1
seed: 5
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3 mm }
photo: { width: 280, height: 200, format: png16, tone: linear }
camera: { full-well: 1000000, framing: 0.6 }
shots: [{ kind: even }]
scenes: [{ ${scene} }]
`;

let home: string;
let folder: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-simulate-'));
  folder = join(home, 'bench');
  await mkdir(folder);
  // Black but for the upper right quarter.
  const codes = Buffer.from(Array.from({ length: 40 * 40 }, (_, i) => (i % 40 >= 20 && i < 800 ? 255 : 0)));
  const picture = sharp(codes, { raw: { width: 40, height: 40, channels: 1 } }).png();
  await picture.toFile(join(folder, 'quarter.png'));
  await picture.toFile(join(home, 'outside.png'));
});
afterEach(() => rm(home, { recursive: true }));

async function simulate(scene: string) {
  await writeFile(join(folder, 'plan.yaml'), planWith(scene));
  return twolamp('simulate', join(folder, 'plan.yaml'));
}

describe('simulate: scenes', () => {
  test('a scene is photographed beside the session, upright and unmirrored, and session.yaml does not name it', async () => {
    const { code, err } = await simulate('picture: quarter.png, width: 100 mm, distance: 200 mm');
    expect(err).toContain('2 of 2: scene.png');
    expect(code).toBe(0);
    const out = join(folder, 'simulated');
    expect((await readdir(out)).sort()).toEqual(['even.png', 'scene.png', 'session.yaml', 'truth.json']);
    const session = readSession(await readFile(join(out, 'session.yaml'), 'utf8'), 'session.yaml');
    expect(session.shots.map(({ photo }) => photo)).toEqual(['even.png']);
    const { data, info } = await sharp(join(out, 'scene.png'))
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    // Parallel tubes on a pitch of 24 px: 0.6 of 200 px for five of them.
    const at = (column: number, row: number) =>
      data[(info.height / 2 + 24 * row) * info.width + info.width / 2 + 24 * column];
    expect(at(3, -2)).toBeGreaterThan(100);
    for (const [column, row] of [
      [-3, -2],
      [-3, 2],
      [3, 2],
    ]) {
      expect(at(column!, row!)).toBeLessThan(5);
    }
  });

  const SIZE = 'width: 100 mm, distance: 200 mm';
  test.each([
    ['a missing picture', `picture: none.png, ${SIZE}`, 'the photo none.png is not there'],
    ['no picture', `picture: plan.yaml, ${SIZE}`, 'this is not a picture of a readable type'],
    ['a picture elsewhere', `picture: ../outside.png, ${SIZE}`, 'a path inside the folder of plan.yaml'],
    ['a link out of the folder', `picture: link.png, ${SIZE}`, 'is a link that leads outside the folder'],
    [
      'a bare width',
      'picture: quarter.png, width: 100, distance: 200 mm',
      'scenes[1].width: found 100; expected',
    ],
    ['a photo over the picture', `photo: quarter.png, picture: quarter.png, ${SIZE}`, 'another name'],
  ])('%s ends with 1, nothing written', async (_, scene, says) => {
    await symlink(join(home, 'outside.png'), join(folder, 'link.png'));
    const { code, err } = await simulate(scene);
    expect(err).toContain(says);
    expect({ code, files: (await readdir(folder)).sort() }).toEqual({
      code: 1,
      files: ['link.png', 'plan.yaml', 'quarter.png'],
    });
  });
});
