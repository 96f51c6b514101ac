import { basename, join, resolve } from 'node:path';
import {
  type Glance,
  glance,
  guessFromLook,
  guessFromName,
  type NameGuess,
  type PhotoHead,
  readPhoto,
  readPhotoHead,
} from '@twolamp/photos';
import { LAMP_SIZE_HINT, type SessionDraft, type ShotDraft, type ShotKind } from '@twolamp/session';
import type { Progress } from './terminal.js';

const ORDER: readonly ShotKind[] = ['dark', 'even', 'bare', 'lamp', 'pair', 'single'];

const HEADING = [
  'Written by twolamp begin. Fill in every ___, and check each kind: it is a guess from name and look.',
  'Look from the back, the photographer’s side: across grows to the right, up upwards, rows count from the top,',
  'columns from the left. Distances are measured from the front face to the lamps.',
  LAMP_SIZE_HINT,
  'Lengths need a unit: mm, cm, m, in or ft. A photo that is no use: take its line out.',
];

interface Seen {
  readonly name: string;
  readonly head: PhotoHead;
  readonly guess: NameGuess;
  /** Null where every name tells its kind, so that nobody had to look. */
  readonly look: Glance | null;
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
 * Drafts a session for a folder of photos: kinds from names, and where a name tells none, from the look of the
 * picture. What only the builder knows stays open.
 *
 * @param names - of the photos, in order
 * @throws InputError where a photo can't be read
 */
export async function draftSession(
  folder: string,
  names: readonly string[],
  onProgress: Progress,
): Promise<DraftedSession> {
  const guesses = names.map(guessFromName);
  const mustLook = guesses.some((guess) => guess.kind === null);
  const seen: Seen[] = [];
  for (const [index, name] of names.entries()) {
    onProgress(index + 1, names.length, name);
    const path = join(folder, name);
    const look = mustLook ? glance(await readPhoto(path, { tone: 'srgb', channel: 'luminance' })) : null;
    seen.push({ name, head: await readPhotoHead(path), guess: guesses[index]!, look });
  }
  const brightest = Math.max(...seen.map(({ look }) => look?.peak ?? 0));
  const shots = seen
    .map((one) => shotDraft(one, one.guess.kind ?? guessFromLook(one.look!, brightest)))
    .sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
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
