import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '@twolamp/session';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { writeFolder } from './output-folder.js';

let home: string;
beforeEach(async () => {
  home = await mkdtemp(join(tmpdir(), 'twolamp-out-'));
});
afterEach(() => rm(home, { recursive: true }));

const content = async (folder: string) =>
  Object.fromEntries(
    await Promise.all(
      (await readdir(folder)).map(async (name) => [name, await readFile(join(folder, name), 'utf8')]),
    ),
  );

test('makes the folder, and those above it', async () => {
  const folder = join(home, 'a', 'b');
  await writeFolder(folder, { 'one.txt': 'one', 'two.bin': new Uint8Array([50]) });
  expect(await content(folder)).toEqual({ 'one.txt': 'one', 'two.bin': '2' });
  expect(await readdir(join(home, 'a'))).toEqual(['b']);
});

test('replaces its own files and leaves all others', async () => {
  await writeFile(join(home, 'one.txt'), 'old');
  await writeFile(join(home, 'mine.txt'), 'mine');
  await writeFolder(home, { 'one.txt': 'new' });
  expect(await content(home)).toEqual({ 'one.txt': 'new', 'mine.txt': 'mine' });
});

test('nothing is replaced or left behind when one file can’t be written', async () => {
  await writeFile(join(home, 'one.txt'), 'old');
  await expect(writeFolder(home, { 'one.txt': 'new', 'no/such/folder.txt': 'two' })).rejects.toThrow(
    InputError,
  );
  expect(await content(home)).toEqual({ 'one.txt': 'old' });
});

test('a file in the folder’s place is refused', async () => {
  await writeFile(join(home, 'measured'), 'a file');
  await expect(writeFolder(join(home, 'measured'), { 'one.txt': 'new' })).rejects.toThrow(
    'this is a file; expected a folder to write into',
  );
});

test('a folder under a file is refused', async () => {
  await writeFile(join(home, 'measured'), 'a file');
  await expect(writeFolder(join(home, 'measured', 'later'), { 'one.txt': 'new' })).rejects.toThrow(
    'cannot be written',
  );
});
