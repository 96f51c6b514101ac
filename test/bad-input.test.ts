import { copyFile, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

const EVEN = new URL('../datasets/demo/even-1.jpg', import.meta.url);
const BARE = new URL('../datasets/demo/bare.jpg', import.meta.url);
const DARK = new URL('../datasets/demo/dark.jpg', import.meta.url);

/** The demo's array by its even and its dark shot. */
const SESSION = `format: twolamp-session/1
array: { name: Panel, arrangement: square, rows: 24, columns: 30, tube-length: 190 mm, tube-bore: 3.2 mm, back-pitch: 3.7 mm, front-pitch: 4.6 mm }
shots:
  - { photo: even.jpg, kind: even }
  - { photo: dark.jpg, kind: dark }
`;

let home: string;
let folder: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-bad-'));
  folder = join(home, 'bench');
  await mkdir(folder);
  await copyFile(EVEN, join(home, 'outside.jpg'));
  await copyFile(EVEN, join(folder, 'even.jpg'));
  await copyFile(DARK, join(folder, 'dark.jpg'));
  await writeFile(join(folder, 'session.yaml'), SESSION);
});
afterEach(() => rm(home, { recursive: true }));

/** What progress says is no complaint. */
const isComplaint = (line: string) => !/^\d of [12]: /.test(line);

async function expectRefused(says: string): Promise<void> {
  const before = await readdir(home, { recursive: true });
  const { code, out, err } = await twolamp('measure', folder, '--json');
  expect(err).toContain(says);
  expect(err.trim().split('\n').filter(isComplaint)).toHaveLength(1);
  expect({ code, out, files: await readdir(home, { recursive: true }) }).toEqual({
    code: 1,
    out: '',
    files: before,
  });
}

const part = async (photo: URL, share: number): Promise<Buffer> => {
  const bytes = await readFile(photo);
  return bytes.subarray(0, Math.floor(share * bytes.length));
};
const even = () => sharp(fileURLToPath(EVEN));

// What each message must tell: which photo, what was found in it.
test.each<[string, string, () => Promise<Buffer>, string]>([
  [
    'an even shot that is cut off',
    'even.jpg',
    () => part(EVEN, 0.6),
    'even.jpg: the picture is damaged or cut off',
  ],
  [
    'a dark shot that is cut off',
    'dark.jpg',
    () => part(DARK, 0.6),
    'dark.jpg: the picture is damaged or cut off',
  ],
  ['an empty file', 'even.jpg', async () => Buffer.alloc(0), 'even.jpg: the file is empty (0 bytes)'],
  [
    'text',
    'even.jpg',
    async () => Buffer.from(SESSION),
    'even.jpg: this is not a picture of a readable type',
  ],
  ['a GIF', 'even.jpg', () => even().gif().toBuffer(), 'even.jpg: this is not a picture of a readable type'],
  [
    'a sheet without an array',
    'even.jpg',
    () => readFile(BARE),
    'even.jpg: no regular pattern of cells shows',
  ],
  [
    'a dark shot of another size',
    'dark.jpg',
    () => even().resize(1000).jpeg().toBuffer(),
    'dark.jpg: the photo has 1000 × 800 pixels, even.jpg has 1120 × 896',
  ],
])('%s is named, and nothing is written', async (_, name, bytes, says) => {
  await writeFile(join(folder, name), await bytes());
  await expectRefused(says);
});

// A missing photo and a bare number for a length: packages/cli/src/run.test.ts.
test.each([
  ['a column too few', 'columns: 30', 'columns: 29', 'even.jpg: 24 × 30 cells found, 24 × 29 stated'],
  ['a row too many', 'rows: 24', 'rows: 25', 'even.jpg: 24 × 30 cells found, 25 × 30 stated'],
  [
    'another arrangement',
    'square',
    'hexagonal, shifted-rows: odd',
    'even.jpg: a square lattice was found, hexagonal stated',
  ],
  [
    'a photo outside',
    'photo: even.jpg',
    'photo: ../outside.jpg',
    'shots[1].photo: found "../outside.jpg"; expected a path inside the folder',
  ],
  [
    'an unknown kind',
    'kind: dark',
    'kind: darkness',
    'session.yaml, line 5: shots[2].kind: found "darkness"; expected dark, even,',
  ],
  ['no even shot', 'kind: even', 'kind: bare', 'expected at least one shot of kind even'],
])('a session with %s is refused, and nothing is written', async (_, from, to, says) => {
  await writeFile(join(folder, 'session.yaml'), SESSION.replace(from, to));
  await expectRefused(says);
});

test('a clipped even shot is named, and nothing is written', async () => {
  // Half as large, which is quicker to work on.
  await even().resize(560).linear(2.5).jpeg().toFile(join(folder, 'even.jpg'));
  await writeFile(join(folder, 'session.yaml'), SESSION.replace(/.*dark.*\n/, ''));
  await expectRefused('even.jpg: the even shot is clipped in ');
}, 120_000);
