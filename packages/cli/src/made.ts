import { createHash } from 'node:crypto';
import { createReadStream, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { Result } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';

/** The program's own version. */
const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

async function sha256(path: string): Promise<string> {
  const hash = createHash('sha256');
  await pipeline(createReadStream(path), hash);
  return hash.digest('hex');
}

/** Which program and which files a result comes from, so that it can be told years later. */
export async function madeFrom({ session, file, folder }: OpenSession): Promise<NonNullable<Result['made']>> {
  const photos = [];
  for (const { photo } of session.shots) photos.push({ photo, sha256: await sha256(join(folder, photo)) });
  return { version, sessionSha256: await sha256(file), photos };
}
