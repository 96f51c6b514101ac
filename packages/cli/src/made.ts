import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readRegularFile } from '@twolamp/photos/regular-file';
import type { Result } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';

/** The program's own version. */
const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

/** Longest file of a session, as photos are limited. */
const MOST_BYTES = 512_000_000;

/** @throws InputError where it is no regular file, so that nobody waits for a pipe */
async function sha256(path: string): Promise<string> {
  const bytes = await readRegularFile(path, { expected: 'a file of the session', mostBytes: MOST_BYTES });
  return createHash('sha256').update(bytes).digest('hex');
}

/** Which program and which files a result comes from, so that it can be told years later. */
export async function madeFrom({ session, file, folder }: OpenSession): Promise<NonNullable<Result['made']>> {
  const photos = [];
  for (const { photo } of session.shots) photos.push({ photo, sha256: await sha256(join(folder, photo)) });
  return { version, sessionSha256: await sha256(file), photos };
}
