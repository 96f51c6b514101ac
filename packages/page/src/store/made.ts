import type { Result } from '@twolamp/session';
import type { FolderFile } from './folder.js';

/** The program's version; put in by vite. */
declare const TWOLAMP_VERSION: string;

async function sha256(blob: Blob): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', await blob.arrayBuffer());
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * Which program and which files a result comes from, as the command line writes it.
 *
 * @param session - session.yaml
 * @param photos - by the names the session gives them
 */
export async function madeFrom(
  session: FolderFile,
  photos: readonly FolderFile[],
): Promise<NonNullable<Result['made']>> {
  const sums = [];
  for (const { path, blob } of photos) sums.push({ photo: path, sha256: await sha256(blob) });
  return { version: TWOLAMP_VERSION, sessionSha256: await sha256(session.blob), photos: sums };
}
