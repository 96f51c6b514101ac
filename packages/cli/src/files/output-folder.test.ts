import { spawnSync } from 'node:child_process';
import { chmod, mkdir, mkdtemp, readdir, readFile, rm, symlink, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '@twolamp/session';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { clearAbandoned } from './draft-folder.js';
import { discardDrafts, fillFolder, writeFolder } from './output-folder.js';
import { thisRun } from './run-owner.js';

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

const DRAFT = '.twolamp-writing';

/** A process that has ended: its number is nobody's. */
const ended = () => ({ ...thisRun(), pid: spawnSync('true').pid });

/** What a killed run left: a draft with one file in it, its owner, and the mark that all is written. */
async function leaveDraft(owner: object | null, ready: boolean): Promise<void> {
  await mkdir(join(home, DRAFT, 'files'), { recursive: true });
  await writeFile(join(home, DRAFT, 'files', 'one.txt'), 'left');
  if (owner) await writeFile(join(home, DRAFT, 'owner.json'), JSON.stringify(owner));
  if (ready) await writeFile(join(home, DRAFT, 'ready'), '');
}

test('the folder is tried before the work begins', async () => {
  const work = () => Promise.reject(new Error('was begun'));
  await writeFile(join(home, 'measured'), 'a file');
  await expect(fillFolder(join(home, 'measured'), [], work)).rejects.toThrow('this is a file');
  await mkdir(join(home, 'out', 'report.html'), { recursive: true });
  await expect(fillFolder(join(home, 'out'), ['report.html'], work)).rejects.toThrow(
    'report.html: this is a folder; expected it elsewhere',
  );
  expect(await readdir(join(home, 'out'))).toEqual(['report.html']);
});

test('a folder that may not be written into is refused', async (context) => {
  if (process.getuid?.() === 0) context.skip(); // the administrator may write everywhere
  await chmod(home, 0o500);
  await expect(writeFolder(home, { 'one.txt': 'new' })).rejects.toThrow('its permissions forbid it');
  await chmod(home, 0o700);
});

test('folders that were made are gone again where the work fails, and the fault is told as it is', async () => {
  const fault = new RangeError('a fault of the work');
  await expect(fillFolder(join(home, 'a', 'b'), [], () => Promise.reject(fault))).rejects.toBe(fault);
  expect(await readdir(home)).toEqual([]);
});

test('a name that is a folder’s by the end leaves all old files', async () => {
  await writeFile(join(home, 'one.txt'), 'old');
  const filling = fillFolder(home, [], async ({ write }) => {
    await write({ 'one.txt': 'new', 'two.txt': 'new' });
    await mkdir(join(home, 'two.txt'));
  });
  await expect(filling).rejects.toThrow('two.txt: this is a folder');
  await rm(join(home, 'two.txt'), { recursive: true });
  expect(await content(home)).toEqual({ 'one.txt': 'old' });
});

test('a link in a file’s place is replaced, and what it leads to stays', async () => {
  await mkdir(join(home, 'out'));
  await writeFile(join(home, 'mine.txt'), 'mine');
  await symlink('../mine.txt', join(home, 'out', 'one.txt'));
  await writeFolder(join(home, 'out'), { 'one.txt': 'new' });
  expect(await readFile(join(home, 'mine.txt'), 'utf8')).toBe('mine');
  expect(await readFile(join(home, 'out', 'one.txt'), 'utf8')).toBe('new');
});

test('a second run at the same time is refused, and the first ends well', async () => {
  await fillFolder(home, [], async ({ write }) => {
    await write({ 'one.txt': 'first' });
    await expect(writeFolder(home, { 'one.txt': 'second' })).rejects.toThrow(
      `another run (process ${process.pid}) is writing into this folder; expected it to end first`,
    );
  });
  expect(await content(home)).toEqual({ 'one.txt': 'first' });
});

test.each([
  ['a killed run’s draft is cleared away', () => ended(), false, 'old'],
  ['files that a killed run had written in full are put in place', () => ended(), true, 'left'],
  ['a process number that is used again is no owner', () => ({ ...thisRun(), began: '1' }), false, 'old'],
])('%s', async (_, owner, ready, says) => {
  await writeFile(join(home, 'one.txt'), 'old');
  await leaveDraft(owner(), ready);
  clearAbandoned(home);
  expect(await content(home)).toEqual({ 'one.txt': says });
});

test('a draft without an owner is cleared away once it is old', async () => {
  await leaveDraft(null, false);
  clearAbandoned(home);
  expect(await readdir(home)).toEqual([DRAFT]);
  await utimes(join(home, DRAFT), 0, 0);
  await writeFolder(home, { 'two.txt': 'new' });
  expect(await content(home)).toEqual({ 'two.txt': 'new' });
});

test('another machine’s run is left alone', async () => {
  await leaveDraft({ pid: 1, host: 'elsewhere', began: null }, true);
  await expect(writeFolder(home, { 'one.txt': 'new' })).rejects.toThrow('another run (process 1)');
  await rm(join(home, DRAFT), { recursive: true });
});

test('told to stop, drafts are gone and nothing is put in place', async () => {
  const filling = fillFolder(join(home, 'out'), [], async ({ write }) => {
    await write({ 'one.txt': 'new' });
    discardDrafts();
    throw new Error('stopped');
  });
  await expect(filling).rejects.toThrow('stopped');
  expect(await readdir(home)).toEqual([]);
});
