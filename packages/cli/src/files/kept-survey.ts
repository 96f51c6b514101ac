import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, realpathSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DefaultSerializer, deserialize, serialize } from 'node:v8';
import { forgetPhotos, type KeptSurvey, keptSurvey } from '@twolamp/cells';
import type { PhotoReading } from '@twolamp/photos';
import type { Result } from '@twolamp/session';

/** In the folder of the results: what the next run needs not measure again. */
export const KEPT_NAME = 'reuse.bin';

type MadeFrom = NonNullable<Result['made']>;

interface Saved {
  /** Tells the program, and how it read the photos. */
  readonly key: string;
  readonly photos: MadeFrom['photos'];
  readonly kept: KeptSurvey;
}

const DIGEST_BYTES = 32;
const digest = (...parts: readonly (string | Uint8Array)[]): Buffer => {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part);
  return hash.digest();
};

/** The code that turns a photo into the light of cells. */
const CODE = ['cells', 'flux', 'numeric', 'optics', 'photos', 'places', 'session'];

const PACKAGES = fileURLToPath(new URL('../../../', import.meta.url));

/** Every file of that code, so that no change of the program is overlooked, and where its libraries lie: their versions. */
function codeParts(): (string | Buffer)[] {
  return CODE.flatMap((name) => {
    const [built, libraries] = [join(PACKAGES, name, 'dist'), join(PACKAGES, name, 'node_modules')];
    const files = readdirSync(built, { recursive: true, encoding: 'utf8' }).filter((file) =>
      file.endsWith('.js'),
    );
    return [
      ...readdirSync(libraries).map((library) => realpathSync(join(libraries, library))),
      ...files.map((file) => readFileSync(join(built, file))),
    ];
  });
}

/** Tells all that a photo's cells depend on besides the photo and the session. */
export function programKey(reading: PhotoReading): string {
  return digest(process.version, ...codeParts(), serialize(reading)).toString('hex');
}

/**
 * What an earlier run into this folder measured of photos that are still the same. Nothing of it where the file is
 * absent, damaged, or of another program.
 *
 * @param folder - of the results
 * @param key - from {@link programKey}
 * @param photos - of the session, with what is in them
 */
export async function openKept(folder: string, key: string, photos: MadeFrom['photos']): Promise<KeptSurvey> {
  try {
    const bytes = await readFile(join(folder, KEPT_NAME));
    const content = bytes.subarray(DIGEST_BYTES);
    if (!digest(content).equals(bytes.subarray(0, DIGEST_BYTES))) return keptSurvey();
    const saved = deserialize(content) as Saved;
    if (saved.key !== key) return keptSurvey();
    const now = new Map(photos.map(({ photo, sha256 }) => [photo, sha256]));
    const gone = saved.photos.filter(({ photo, sha256 }) => now.get(photo) !== sha256);
    forgetPhotos(
      saved.kept,
      gone.map(({ photo }) => photo),
    );
    return saved.kept;
  } catch {
    return keptSurvey();
  }
}

/** The file's content, for {@link openKept}. */
export function keptBytes(saved: Saved): Uint8Array {
  // Room for the digest is left first: large surveys are not laid out twice.
  const serializer = new DefaultSerializer();
  serializer.writeRawBytes(Buffer.alloc(DIGEST_BYTES));
  serializer.writeHeader();
  serializer.writeValue(saved);
  const bytes = serializer.releaseBuffer();
  bytes.set(digest(bytes.subarray(DIGEST_BYTES)));
  return bytes;
}
