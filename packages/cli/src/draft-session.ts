import { basename, join, resolve } from 'node:path';
import {
  type ExposedLook,
  glance,
  guessFromLooks,
  guessFromName,
  type NameGuess,
  orderTaken,
  type PhotoHead,
  readPhoto,
  readPhotoHead,
} from '@twolamp/photos';
import { LAMP_SIZE_HINT, type SessionDraft, type ShotDraft, type ShotKind } from '@twolamp/session';
import type { Progress } from './terminal.js';

const HEADING = [
  'Written by begin. Fill in every ___, and check each kind: it is a guess from name and look.',
  'Look from the back, the photographer’s side: across grows to the right, up upwards, rows count from the top,',
  'columns from the left. Distances are measured from the front face to the lamps.',
  LAMP_SIZE_HINT,
  'Lengths need a unit: mm, cm, m, in or ft. If a photo cannot be used, delete its line.',
];

interface Seen {
  readonly name: string;
  readonly head: PhotoHead;
  readonly guess: NameGuess;
}

/** The draft of a session, and the kinds that were guessed from the pictures' look. */
export interface DraftedSession {
  readonly draft: SessionDraft;
  readonly looked: number;
}

function remarkOf({ head, guess }: Seen, kind: ShotKind): string | undefined {
  const look =
    kind === 'lamp' ? 'one patch of light: a lamp, a merged pair or a single tube' : 'guessed from its look';
  const remarks = [
    ...(guess.kind === null ? [look] : []),
    ...(head.exposureS === null ? ['no exposure time in the photo: add exposure: 1/8 s, if known'] : []),
  ];
  return remarks.length === 0 ? undefined : remarks.join('; ');
}

function shotDraft(seen: Seen, kind: ShotKind): ShotDraft {
  const { name: photo, guess } = seen;
  const remark = remarkOf(seen, kind);
  const known = { photo, stated: {}, ...(remark === undefined ? {} : { remark }) };
  switch (kind) {
    case 'lamp':
      return { ...known, kind, acrossMm: null, upMm: null, distanceMm: guess.distanceMm };
    case 'pair':
      return {
        ...known,
        kind,
        spacingMm: null,
        distanceMm: guess.distanceMm,
        turnedDeg: 0,
        acrossMm: 0,
        upMm: 0,
      };
    case 'single':
      return { ...known, kind, row: guess.row, column: guess.column };
    default:
      return { ...known, kind };
  }
}

/**
 * Photos in the order in which they were taken: by EXIF's time, and where that is the same or missing in one of them, in
 * the order of `names`.
 *
 * @param names - of the photos, in the order of their names
 * @throws InputError where a photo can't be read
 */
export async function inOrderTaken(
  folder: string,
  names: readonly string[],
): Promise<{ readonly ordered: string[]; readonly byTime: boolean }> {
  const times = await Promise.all(
    names.map(async (name) => (await readPhotoHead(join(folder, name))).takenAt),
  );
  const order = orderTaken(times);
  return { ordered: order?.map((index) => names[index]!) ?? [...names], byTime: order !== null };
}

/** What each photo looks like, in the order of `names`. */
export async function kindsByLook(
  folder: string,
  names: readonly string[],
  onProgress: Progress,
): Promise<ShotKind[]> {
  const looks: ExposedLook[] = [];
  for (const [index, name] of names.entries()) {
    onProgress(index + 1, names.length, name);
    const photo = await readPhoto(join(folder, name), { tone: 'srgb', channel: 'luminance' });
    looks.push({ look: glance(photo), exposure: photo });
  }
  return guessFromLooks(looks);
}

/**
 * Drafts a session for a folder of photos: kinds from names, and where a name tells none, from the look of the
 * picture. What only the builder knows stays open.
 *
 * @param names - of the photos, in order; the shots keep it
 * @throws InputError where a photo can't be read
 */
export async function draftSession(
  folder: string,
  names: readonly string[],
  onProgress: Progress,
): Promise<DraftedSession> {
  const guesses = names.map(guessFromName);
  const mustLook = guesses.some((guess) => guess.kind === null);
  const looks = mustLook ? await kindsByLook(folder, names, onProgress) : null;
  const shots: ShotDraft[] = [];
  for (const [index, name] of names.entries()) {
    const guess = guesses[index]!;
    const head = await readPhotoHead(join(folder, name));
    shots.push(shotDraft({ name, head, guess }, guess.kind ?? looks![index]!));
  }
  const evenless = shots.some((shot) => shot.kind === 'even')
    ? []
    : ['No photo looks like an even shot (front face evenly lit): without one, no cell can be found.'];
  return {
    looked: guesses.filter((guess) => guess.kind === null).length,
    draft: {
      heading: [...HEADING, ...evenless],
      array: {
        name: basename(resolve(folder)),
        arrangement: null,
        rows: null,
        columns: null,
        tubeLengthMm: null,
        tubeBoreMm: null,
        backPitchMm: null,
        frontPitchMm: null,
      },
      tone: 'srgb',
      shots,
    },
  };
}
