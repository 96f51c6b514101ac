import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '@twolamp/session';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openSession } from './open-session.js';

const SESSION = `format: twolamp-session/1
array: { name: A, arrangement: square, rows: 4, columns: 5, tube-length: 150 mm, tube-bore: 2 mm, back-pitch: 3 mm, front-pitch: 4 mm }
shots: [{ photo: photos/even.jpg, kind: even }]
`;

let home: string;
let folder: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-session-'));
  folder = join(home, 'bench');
  await mkdir(folder);
  await writeFile(join(folder, 'session.yaml'), SESSION);
});
afterEach(() => rm(home, { recursive: true }));

test.each(['.', 'session.yaml'])('opens by %s', async (name) => {
  await mkdir(join(folder, 'photos'));
  await writeFile(join(folder, 'photos/even.jpg'), '');
  const open = await openSession(join(folder, name));
  expect({ file: open.file, folder: open.folder }).toEqual({ file: join(folder, 'session.yaml'), folder });
});

test('a photo that is a link inside the folder is taken', async () => {
  await mkdir(join(folder, 'photos'));
  await writeFile(join(folder, 'real.jpg'), '');
  await symlink('../real.jpg', join(folder, 'photos/even.jpg'));
  expect((await openSession(folder)).session.shots).toHaveLength(1);
});

test('a link to the folder itself is no way out', async () => {
  await mkdir(join(folder, 'photos'));
  await writeFile(join(folder, 'photos/even.jpg'), '');
  await symlink(folder, join(home, 'link'));
  expect((await openSession(join(home, 'link'))).session.shots).toHaveLength(1);
});

test.each([
  [
    'photo',
    async () => {
      await mkdir(join(folder, 'photos'));
      await symlink(join(home, 'outside.jpg'), join(folder, 'photos/even.jpg'));
    },
  ],
  ['folder', () => symlink(home, join(folder, 'photos'))],
])('a linked %s outside is refused', async (_, link) => {
  await writeFile(join(home, 'outside.jpg'), '');
  await writeFile(join(home, 'even.jpg'), '');
  await link();
  await expect(openSession(folder)).rejects.toThrow(InputError);
  await expect(openSession(folder)).rejects.toThrow(
    'photos/even.jpg is a link that leads outside the folder',
  );
});

test('all photos that are missing are named', async () => {
  const two = SESSION.replace('shots: [', 'shots: [{ photo: dark.jpg, kind: dark }, ');
  await writeFile(join(folder, 'session.yaml'), two);
  await expect(openSession(folder)).rejects.toThrow(
    /dark\.jpg is not there.*\n.*photos\/even\.jpg is not there/,
  );
});
