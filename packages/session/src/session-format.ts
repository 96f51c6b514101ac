import { z } from 'zod';
import { arrayInput } from './array.js';
import { shotMisfits } from './shot-relations.js';
import { angleDeg, exposureS, lengthOf, numberOf } from './units.js';

export const SESSION_FORMAT = 'twolamp-session/2';

/** Least dip that counts as separate, by the criterion's name. Rayleigh: two Airy patterns, 1 − 0.735. */
export const NAMED_CRITERIA = { rayleigh: 0.265, sparrow: 0 } as const;

const CRITERION_EXPECTED = 'rayleigh, sparrow or a number between 0 and 1';

/** Schema of a separation criterion: its name or the least dip in, both out. */
export const criterionInput = z
  .union(
    [
      z.enum(['rayleigh', 'sparrow']),
      z.number().gt(0, { error: CRITERION_EXPECTED }).lt(1, { error: CRITERION_EXPECTED }),
    ],
    { error: CRITERION_EXPECTED },
  )
  .transform((value) =>
    typeof value === 'number'
      ? { name: String(value), requiredDip: value }
      : { name: value as string, requiredDip: NAMED_CRITERIA[value] as number },
  );

/** Of a path inside a folder; longer ones no file system takes. */
const LONGEST_PATH = 1000;
/** Shots of one session: hours of photos of the largest sweep. */
const MOST_SHOTS = 2000;

/** A picture's path as a file names it: inside that file's own folder. */
export const pathBeside = (file: string) =>
  z
    .string()
    .min(1, 'the name of a photo')
    .max(LONGEST_PATH, `a path of at most ${LONGEST_PATH} characters`)
    .refine((path) => !path.includes('\0'), 'the name of a photo')
    .refine(
      (path) => !/^([/\\]|[A-Za-z]:)/.test(path) && !path.split(/[/\\]/).includes('..'),
      `a path inside the folder of ${file}, relative to it`,
    );

const common = {
  photo: pathBeside('session.yaml'),
  exposure: exposureS.optional(),
  iso: numberOf('iso').optional(),
  aperture: numberOf('aperture').optional(),
};

const offset = lengthOf('lampOffsetMm');

const shot = z.discriminatedUnion(
  'kind',
  [
    z.strictObject({ ...common, kind: z.literal('dark') }),
    z.strictObject({ ...common, kind: z.literal('even') }),
    z.strictObject({ ...common, kind: z.literal('bare') }),
    z.strictObject({
      ...common,
      kind: z.literal('lamp'),
      across: offset,
      up: offset,
      distance: lengthOf('lampDistanceMm'),
    }),
    z.strictObject({
      ...common,
      kind: z.literal('pair'),
      spacing: lengthOf('lampSpacingMm'),
      distance: lengthOf('lampDistanceMm'),
      turned: angleDeg.optional(),
      across: offset.optional(),
      up: offset.optional(),
    }),
    z.strictObject({
      ...common,
      kind: z.literal('single'),
      row: z.int().min(1).optional(),
      column: z.int().min(1).optional(),
    }),
  ],
  {
    error: (issue) =>
      typeof issue.input !== 'object'
        ? 'a shot: { photo: even.jpg, kind: even }'
        : 'dark, even, bare, lamp, pair or single',
  },
);

type ShotInput = z.infer<typeof shot>;

interface ShotCommon {
  readonly photo: string;
  /** What the session states over the photo's EXIF. */
  readonly stated: { readonly exposureS?: number; readonly iso?: number; readonly aperture?: number };
}

export type DarkShot = ShotCommon & { readonly kind: 'dark' };
export type EvenShot = ShotCommon & { readonly kind: 'even' };
export type BareShot = ShotCommon & { readonly kind: 'bare' };
/** One lamp, at a place measured from the middle of the front face. */
export type LampShot = ShotCommon & {
  readonly kind: 'lamp';
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
};
/** Two lamps; acrossMm and upMm are the middle between them, turnedDeg 0 = side by side. */
export type PairShot = ShotCommon & {
  readonly kind: 'pair';
  readonly spacingMm: number;
  readonly distanceMm: number;
  readonly turnedDeg: number;
  readonly acrossMm: number;
  readonly upMm: number;
};
/** Row and column are null where tubes are packed: the brightest one is the one that is lit. */
export type SingleShot = ShotCommon & {
  readonly kind: 'single';
  readonly row: number | null;
  readonly column: number | null;
};
export type Shot = DarkShot | EvenShot | BareShot | LampShot | PairShot | SingleShot;
export type ShotKind = Shot['kind'];

function toShot(input: ShotInput): Shot {
  const common: ShotCommon = {
    photo: input.photo,
    stated: {
      ...(input.exposure === undefined ? {} : { exposureS: input.exposure }),
      ...(input.iso === undefined ? {} : { iso: input.iso }),
      ...(input.aperture === undefined ? {} : { aperture: input.aperture }),
    },
  };
  switch (input.kind) {
    case 'lamp':
      return {
        ...common,
        kind: 'lamp',
        acrossMm: input.across,
        upMm: input.up,
        distanceMm: input.distance,
      };
    case 'pair':
      return {
        ...common,
        kind: 'pair',
        spacingMm: input.spacing,
        distanceMm: input.distance,
        turnedDeg: input.turned ?? 0,
        acrossMm: input.across ?? 0,
        upMm: input.up ?? 0,
      };
    case 'single':
      return { ...common, kind: 'single', row: input.row ?? null, column: input.column ?? null };
    default:
      return { ...common, kind: input.kind };
  }
}

/** session.yaml: text with units in, numbers in mm, degrees and seconds out. */
export const sessionSchema = z
  .strictObject({
    format: z.literal(SESSION_FORMAT),
    array: arrayInput,
    criterion: criterionInput.optional(),
    'lamp-diameter': lengthOf('lampDiameterMm').optional(),
    camera: z.strictObject({ tone: z.enum(['srgb', 'linear', 'bracketed']) }).optional(),
    shots: z.array(shot).min(1, 'at least one shot').max(MOST_SHOTS, `at most ${MOST_SHOTS} shots`),
  })
  .superRefine((session, context) => {
    const seen = new Set<string>();
    session.shots.forEach((one, index) => {
      if (seen.has(one.photo)) {
        context.addIssue({
          code: 'custom',
          path: ['shots', index, 'photo'],
          message: 'each photo once: the same photo again is no repeat of the shot',
        });
      }
      seen.add(one.photo);
      for (const { field, expected } of shotMisfits(toShot(one), session)) {
        context.addIssue({ code: 'custom', path: ['shots', index, field], message: expected });
      }
    });
    if (!session.shots.some((one) => one.kind === 'even')) {
      context.addIssue({
        code: 'custom',
        path: ['shots'],
        message: 'at least one shot of kind even: without it no cell can be found',
      });
    }
  })
  .transform((session) => ({
    array: session.array,
    criterion: session.criterion ?? { name: 'rayleigh', requiredDip: NAMED_CRITERIA.rayleigh as number },
    /** Across the part that shines, 0 = a point; null = not stated. */
    lampDiameterMm: session['lamp-diameter'] ?? null,
    tone: session.camera?.tone ?? ('srgb' as const),
    shots: session.shots.map(toShot),
  }));

/** One bench session, read and checked. */
export type Session = z.infer<typeof sessionSchema>;
export type Tone = Session['tone'];
