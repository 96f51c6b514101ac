import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readSession, writeSession } from '@twolamp/session';
import sharp from 'sharp';

/** How a photo is written anew. HEIC wants ImageMagick with libheif. */
export const FORMATS = {
  png16: {
    ending: 'png',
    write: (photo: Buffer) => sharp(photo).toColourspace('rgb16').keepExif().png().toBuffer(),
  },
  turned: {
    ending: 'jpg',
    // Turned clockwise, with the tag that has readers turn it back (EXIF 2.32, Orientation 8).
    write: (photo: Buffer) =>
      sharp(photo).rotate(90).withMetadata({ orientation: 8 }).jpeg({ quality: 95 }).toBuffer(),
  },
  heic: {
    ending: 'heic',
    write: async (photo: Buffer) =>
      execFileSync('convert', ['jpg:-', '-quality', '95', 'heic:-'], { input: photo, maxBuffer: 2 ** 28 }),
  },
} as const;

export type FormatName = keyof typeof FORMATS;

export function hasHeic(): boolean {
  try {
    return /HEIC\* .*rw/.test(execFileSync('convert', ['-list', 'format'], { encoding: 'utf8' }));
  } catch {
    return false;
  }
}

/**
 * Copies a session with its photos written in other formats.
 *
 * @param formatOf - by the place of the shot in the session; null: as it is
 */
export async function inOtherFormats(
  folder: string,
  copy: string,
  formatOf: (shot: number) => FormatName | null,
): Promise<void> {
  mkdirSync(copy, { recursive: true });
  const session = readSession(readFileSync(join(folder, 'session.yaml'), 'utf8'), 'session.yaml');
  const shots = [];
  for (const [n, shot] of session.shots.entries()) {
    const format = formatOf(n);
    const bytes = readFileSync(join(folder, shot.photo));
    const photo = format === null ? shot.photo : shot.photo.replace(/\w+$/, FORMATS[format].ending);
    writeFileSync(join(copy, photo), format === null ? bytes : await FORMATS[format].write(bytes));
    shots.push({ ...shot, photo });
  }
  writeFileSync(join(copy, 'session.yaml'), writeSession({ ...session, shots }));
}
