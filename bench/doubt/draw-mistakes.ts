import { type Random, seededRandom } from '@twolamp/optics';
import type { Finding, LampShot, PairShot, Session, Shot } from '@twolamp/session';

/** A session file with one mistake, and the findings that name it. */
export interface Mistaken {
  /** What was done, in words. */
  readonly what: string;
  readonly session: Session;
  /** Findings that name the mistake: their code, and what they are about. */
  readonly named: readonly { readonly code: string; readonly about: RegExp }[];
  /** Whether a result that says how far all distances rest on the tape allows for this mistake. */
  readonly allowedFor?: (tape: RestOnTape) => boolean;
}

/** Values of the finding that tells how far all distances rest on the tape. */
type RestOnTape = Extract<Finding, { code: 'distances-rest-on-tape' }>['values'];

type Lamps = LampShot | PairShot;
const isLamps = (shot: Shot): shot is Lamps => shot.kind === 'lamp' || shot.kind === 'pair';

function eachShot(
  session: Session,
  kind: 'lamp' | 'pair' | 'both',
  change: (shot: Lamps) => Partial<PairShot>,
): Session {
  const shots = session.shots.map((shot) =>
    isLamps(shot) && (kind === 'both' || shot.kind === kind) ? ({ ...shot, ...change(shot) } as Shot) : shot,
  );
  return { ...session, shots };
}

/** The photos of a kind get what is stated of others; `from` tells of which, by their numbers among the kind. */
function relabelled(
  session: Session,
  kind: 'lamp' | 'pair',
  from: (n: number, all: number) => number,
): Session {
  const own = session.shots.filter((shot) => shot.kind === kind);
  let n = 0;
  const shots = session.shots.map((shot) =>
    shot.kind === kind ? { ...own[from(n++, own.length)], photo: shot.photo, stated: shot.stated } : shot,
  );
  return { ...session, shots };
}

const anyOf = (...codes: string[]) => codes.map((code) => ({ code, about: /./ }));
const length = (...about: string[]) =>
  ['doubt-length', 'doubt-unit'].map((code) => ({ code, about: new RegExp(`^(${about.join('|')})$`) }));
const numbers = (field: string) => [
  { code: 'doubt-number', about: new RegExp(`\\.${field}$`) },
  { code: 'doubt-labels-swapped', about: /./ },
];

/** A typing slip: another digit, two digits exchanged, a digit doubled or the point moved; never the same number. */
function slipped(value: number, random: Random): number {
  const text = String(Number(Math.abs(value).toPrecision(4)));
  const digits = Array.from(text, (_, at) => at).filter((at) => /[1-9]/.test(text[at]));
  const at = digits[Math.floor(random.uniform() * digits.length)] ?? 0;
  const put = (digit: string) => text.slice(0, at) + digit + text.slice(at + 1);
  const kind = Math.floor(random.uniform() * 3);
  const other = String(1 + Math.floor(random.uniform() * 9));
  const result = Number(
    kind === 0
      ? put(other)
      : kind === 1
        ? put(text[at] + text[at])
        : value * (random.uniform() < 0.5 ? 10 : 0.1),
  );
  return Math.abs(result - Number(text)) < 1e-9
    ? slipped(value, random)
    : Math.sign(value || 1) * Math.abs(result);
}

/** Mistakes that people made with the first version, each once. */
export function knownMistakes(session: Session): Mistaken[] {
  const { array, shots } = session;
  const lamps = shots.filter((shot) => shot.kind === 'lamp').length;
  const pairs = shots.some((shot) => shot.kind === 'pair');
  const withArray = (change: Partial<Session['array']>): Session => ({
    ...session,
    array: { ...array, ...change },
  });
  const known: (Mistaken | false)[] = [
    {
      what: 'across mirrored',
      session: eachShot(session, 'both', (shot) => ({ acrossMm: -shot.acrossMm })),
      named: [{ code: 'doubt-mirrored', about: /across/ }],
    },
    {
      what: 'up flipped',
      session: eachShot(session, 'both', (shot) => ({ upMm: -shot.upMm })),
      named: [{ code: 'doubt-mirrored', about: /up/ }],
    },
    {
      what: 'distances in ft for m',
      session: eachShot(session, 'both', (shot) => ({ distanceMm: shot.distanceMm * 0.3048 })),
      named: length('shots.distance'),
    },
    {
      what: 'front-pitch 1 mm too large',
      session: withArray({ frontPitchMm: array.frontPitchMm + 1 }),
      named: length('array.front-pitch'),
    },
    array.frontPitchMm > array.backPitchMm + 0.5 && {
      what: 'back-pitch 0.5 mm too large',
      session: withArray({ backPitchMm: array.backPitchMm + 0.5 }),
      named: length('array.back-pitch'),
    },
    {
      what: 'tube-length in cm for mm',
      session: withArray({ tubeLengthMm: array.tubeLengthMm * 10 }),
      named: length('array.tube-length'),
    },
    pairs && {
      what: 'spacing a tenth',
      session: eachShot(session, 'pair', (shot) => ({ spacingMm: (shot as PairShot).spacingMm / 10 })),
      named: length('shots.spacing'),
    },
    {
      what: 'distances from the sheet',
      session: eachShot(session, 'both', (shot) => ({ distanceMm: shot.distanceMm + array.tubeLengthMm })),
      named: anyOf('doubt-from-sheet', 'doubt-distance-offset'),
      allowedFor: ({ fromSheet }) => fromSheet,
    },
    lamps > 0 && {
      what: 'lamp labels shifted by one',
      session: relabelled(session, 'lamp', (n, all) => (n + 1) % all),
      named: anyOf('doubt-labels-shifted'),
    },
    lamps > 7 && {
      what: 'two lamp labels swapped',
      session: relabelled(session, 'lamp', (n) => (n === 3 ? 7 : n === 7 ? 3 : n)),
      named: anyOf('doubt-labels-swapped'),
    },
    lamps > 0 && {
      what: 'across and up exchanged',
      session: eachShot(session, 'lamp', (shot) => ({ acrossMm: shot.upMm, upMm: shot.acrossMm })),
      named: anyOf('doubt-axes-exchanged'),
    },
    pairs && {
      what: 'pairs turned by 90°',
      session: eachShot(session, 'pair', (shot) => ({ turnedDeg: (shot as PairShot).turnedDeg + 90 })),
      named: anyOf('doubt-pairs-turned'),
    },
  ];
  return known.filter((one) => one !== false);
}

const KINDS = [
  'front-pitch',
  'back-pitch',
  'tube-length',
  'all distances',
  'lamp distances',
  'pair distances',
  'one distance',
  'distance of nudges',
  'spacing',
  'one spacing',
  'one across',
  'one up',
  'lamp places',
  'swap',
  'shift',
] as const;

/**
 * A mistake drawn by a seed: over fields and sizes.
 *
 * @returns null where the session has nothing to mistake of the drawn kind, or no such session could be written
 */
export function drawMistake(session: Session, seed: number): Mistaken | null {
  const random = seededRandom(seed);
  const kind = KINDS[Math.floor(random.uniform() * KINDS.length)];
  const { array } = session;
  /** 8 % to 60 % too much or too little, or a slip of the fingers. */
  const wrong = (value: number): number => {
    if (random.uniform() < 0.4) return slipped(value, random);
    return value * Math.exp((random.uniform() < 0.5 ? -1 : 1) * (0.08 + 0.4 * random.uniform()));
  };
  const own = (which: 'lamp' | 'pair') => session.shots.filter((shot) => shot.kind === which) as Lamps[];
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random.uniform() * list.length)];
  const one = (
    which: 'lamp' | 'pair',
    field: 'acrossMm' | 'upMm' | 'distanceMm' | 'spacingMm',
    name: string,
  ): Mistaken | null => {
    const shot = pick(own(which)) as PairShot | undefined;
    if (!shot) return null;
    const value = shot[field];
    const bad =
      field === 'acrossMm' || field === 'upMm'
        ? value === 0
          ? 60
          : random.uniform() < 0.3
            ? -value
            : wrong(value)
        : wrong(value);
    return {
      what: `${shot.photo}: ${name} ${value} → ${bad.toFixed(1)} mm`,
      session: eachShot(session, 'both', (other) => (other.photo === shot.photo ? { [field]: bad } : {})),
      named: numbers(name),
    };
  };
  const all = (kinds: 'lamp' | 'pair' | 'both', about: string): Mistaken | null => {
    const factor = random.uniform() < 0.3 ? pick([0.3048, 1 / 0.3048, 10, 0.1]) : wrong(1000) / 1000;
    return {
      what: `${kinds} distances × ${factor.toFixed(3)}`,
      session: eachShot(session, kinds, (shot) => ({ distanceMm: shot.distanceMm * factor })),
      named: [
        ...length('shots.distance'),
        ...(kinds === 'both' ? [] : anyOf('doubt-distance-offset')),
        ...numbers(about),
      ],
      ...(kinds === 'both' && {
        allowedFor: ({ shorterShare, longerShare }: RestOnTape) =>
          1 / factor >= 1 - shorterShare && 1 / factor <= 1 + longerShare,
      }),
    };
  };
  const dimension = (
    field: 'frontPitchMm' | 'backPitchMm' | 'tubeLengthMm',
    name: string,
  ): Mistaken | null => {
    const value = wrong(array[field]);
    const changed = { ...array, [field]: value };
    if (changed.frontPitchMm < changed.backPitchMm || changed.tubeBoreMm > changed.backPitchMm) return null;
    return {
      what: `${name} ${array[field]} → ${value.toFixed(3)} mm`,
      session: { ...session, array: changed },
      named: length(`array.${name}`),
    };
  };
  switch (kind) {
    case 'front-pitch':
      return dimension('frontPitchMm', 'front-pitch');
    case 'back-pitch':
      return dimension('backPitchMm', 'back-pitch');
    case 'tube-length':
      return dimension('tubeLengthMm', 'tube-length');
    case 'all distances':
      return all('both', 'distance');
    case 'lamp distances':
      return own('lamp').length === 0 ? null : all('lamp', 'distance');
    case 'pair distances':
      return own('pair').length === 0 ? null : all('pair', 'distance');
    case 'one distance':
      return one(random.uniform() < 0.5 ? 'lamp' : 'pair', 'distanceMm', 'distance');
    case 'distance of nudges': {
      const shot = pick(own('pair'));
      if (!shot) return null;
      const value = wrong(shot.distanceMm);
      return {
        what: `distance ${shot.distanceMm} → ${value.toFixed(0)} mm in all its pairs`,
        session: eachShot(session, 'pair', (other) =>
          other.distanceMm === shot.distanceMm ? { distanceMm: value } : {},
        ),
        named: numbers('distance'),
      };
    }
    case 'spacing': {
      const factor = random.uniform() < 0.4 ? pick([0.1, 10, 0.5, 2]) : wrong(1000) / 1000;
      if (own('pair').length === 0) return null;
      return {
        what: `spacing × ${factor.toFixed(3)}`,
        session: eachShot(session, 'pair', (shot) => ({ spacingMm: (shot as PairShot).spacingMm * factor })),
        named: length('shots.spacing'),
      };
    }
    case 'one spacing':
      return one('pair', 'spacingMm', 'spacing');
    case 'one across':
      return one('lamp', 'acrossMm', 'across');
    case 'one up':
      return one('lamp', 'upMm', 'up');
    case 'lamp places': {
      if (own('lamp').length === 0) return null;
      const factor = random.uniform() < 0.5 ? pick([0.1, 10, 2, 0.5]) : wrong(1000) / 1000;
      return {
        what: `across and up of the lamps × ${factor.toFixed(3)}`,
        session: eachShot(session, 'lamp', (shot) => ({
          acrossMm: shot.acrossMm * factor,
          upMm: shot.upMm * factor,
        })),
        named: length('shots.across'),
      };
    }
    case 'swap': {
      const count = own('lamp').length;
      if (count < 4) return null;
      const [a, b] = [Math.floor(random.uniform() * count), Math.floor(random.uniform() * count)];
      if (a === b) return null;
      return {
        what: `lamp labels ${a + 1} and ${b + 1} swapped`,
        session: relabelled(session, 'lamp', (n) => (n === a ? b : n === b ? a : n)),
        named: anyOf('doubt-labels-swapped'),
      };
    }
    case 'shift': {
      const count = own('lamp').length;
      if (count < 6) return null;
      const from = Math.floor(random.uniform() * (count - 4));
      return {
        what: `lamp labels shifted from ${from + 1} on`,
        session: relabelled(session, 'lamp', (n) => (n < from ? n : Math.min(n + 1, count - 1))),
        named: anyOf('doubt-labels-shifted'),
      };
    }
  }
}
