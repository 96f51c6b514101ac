import { execFileSync } from 'node:child_process';
import { mkdirSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { tempFolder } from './fixtures/temp-folder.js';
import { readPhoto } from './read-photo.js';
import { readRegularFile } from './regular-file.js';

const folder = tempFolder();
const LIMITS = { expected: 'a file', mostBytes: 1_000_000 };

test('a regular file is read whole, and through a link', async () => {
  const path = folder.write('whole.txt', Buffer.from('whole'));
  symlinkSync(path, join(folder.path, 'link.txt'));
  for (const one of [path, join(folder.path, 'link.txt')]) {
    expect((await readRegularFile(one, LIMITS)).toString()).toBe('whole');
  }
});

describe('refused without waiting', () => {
  const CASES: [string, (path: string) => void, RegExp][] = [
    ['a pipe that nobody writes into', (path) => execFileSync('mkfifo', [path]), /this is a pipe; expected/],
    ['a folder', (path) => mkdirSync(path), /this is a folder; expected/],
    ['nothing', () => {}, /there is no such file; expected/],
    ['a device', (path) => symlinkSync('/dev/zero', path), /this is a device or a socket/],
    ['a link to itself', (path) => symlinkSync(path, path), /its links lead round in a circle/],
    [
      'a sparse file of 1.9 GB',
      (path) => {
        writeFileSync(path, 'II*');
        truncateSync(path, 1.9e9);
      },
      /the file is 1900 MB long; expected at most/,
    ],
  ];
  test.each(CASES)('%s', async (what, make, says) => {
    const path = join(folder.path, what);
    make(path);
    const readings = [
      () => readRegularFile(path, LIMITS),
      () => readPhoto(path, { tone: 'srgb', channel: 'luminance' }),
    ];
    for (const read of readings) {
      const refusal = await read().then(
        () => 'was read',
        (error: unknown) => error,
      );
      expect(refusal).toBeInstanceOf(InputError);
      expect((refusal as Error).message).toMatch(says);
    }
  });

  test('a name that is too long', async () => {
    await expect(readRegularFile(join(folder.path, 'x'.repeat(5000)), LIMITS)).rejects.toThrow(
      'the name is too long',
    );
  });
});
