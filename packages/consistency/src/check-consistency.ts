import type { Survey } from '@twolamp/cells';
import {
  type Finding,
  finding,
  type LampShot,
  type MendedValues,
  type PairShot,
  type Session,
} from '@twolamp/session';
import { doubtsOf, rounded } from './doubts.js';
import { type Found, type FoundMistake, findMistakes } from './find-mistakes.js';
import { type Reading, readShots, stretchSigmaOf } from './readings.js';
import { placeOf, type Statement } from './statement.js';
import { CONSISTENCY, SPOTS } from './tuning.js';

/** Whether what a session states fits what its photos show, and what rests on it where it doesn't. */
export interface Consistency {
  readonly findings: readonly Finding[];
  /** Photos to leave out of all that lamps tell: what is stated of them alone is wrong. */
  readonly leftOut: ReadonlySet<string>;
  /** What is stated and photos can't check, or only in part. */
  readonly unchecked: readonly Finding[];
  /** Whether what all lamp shots tell is doubtful, and what all pair shots tell. */
  readonly doubtful: { readonly pointing: boolean; readonly pairs: boolean };
  /** The values as stated and as they would fit; null where no change is known that would. */
  readonly mended: { readonly stated: MendedValues; readonly fitting: MendedValues } | null;
}

/** A mistake of one shot, or of a few, which can be left out. */
function ownShots({ mistake }: FoundMistake): readonly number[] | null {
  if (mistake.is === 'labels-swapped') return [mistake.one, mistake.other];
  return mistake.is === 'number' ? mistake.shots : null;
}

/** A statement with a mistake's free number rounded to what a person would have typed. */
function tidied(found: Found): Statement {
  const digits = (value: number, share: number) => rounded(value, Math.abs(value) * share);
  const last = found.mistakes.at(-1);
  if (!last) return found.corrected;
  const stated = found.mistakes[0]!.before;
  const share = Math.max(...found.mistakes.map(({ mistake, sigma }) => shareOf(mistake, sigma)));
  const tidy = <T extends object>(value: T, was: T | null | undefined): T =>
    Object.fromEntries(
      Object.entries(value).map(([key, one]) => {
        const before = was?.[key as keyof T];
        return [
          key,
          typeof one === 'number' && one !== before && Math.abs(one) !== Math.abs(Number(before))
            ? digits(one, share)
            : one,
        ];
      }),
    ) as T;
  return {
    array: tidy(found.corrected.array, stated.array),
    places: found.corrected.places.map((place, n) => place && tidy(place, stated.places[n])),
  };
}

function shareOf(mistake: FoundMistake['mistake'], sigma: number): number {
  switch (mistake.is) {
    case 'length':
      return sigma;
    case 'number':
      return Math.min(1, Math.abs(sigma / mistake.value));
    default:
      return 1e-6;
  }
}

/**
 * Holds everything that is stated of the array's dimensions and of the lamps against what the lamp and pair photos show.
 *
 * @param relative - relative transmission of each cell, NaN where unknown
 */
export function checkConsistency(
  session: Session,
  survey: Pick<Survey, 'lit' | 'backDepartures' | 'comparable' | 'unexposed'>,
  relative: ArrayLike<number>,
): Consistency {
  const { array } = session;
  const readings = readShots(array, survey.lit, relative, survey.unexposed, survey.backDepartures);
  const shots = readings.map(({ shot }) => shot);
  const stated: Statement = { array, places: shots.map(placeOf) };
  const found = findMistakes(stated, readings, {
    light: survey.comparable,
    stretchSigma: stretchSigmaOf(array, survey.backDepartures),
  });
  const findings = found.mistakes.flatMap((one) => doubtsOf(one, session, shots));
  const leftOut = new Set<string>();
  let whole = false;
  for (const one of found.mistakes) {
    const few = ownShots(one);
    if (few === null || few.length > CONSISTENCY.mostLeftOut * sameKind(shots, shots[few[0]!]!)) whole = true;
    else for (const index of few) leftOut.add(shots[index]!.photo);
  }
  findings.push(...oddShots(found, readings, leftOut));
  if (findings.length > found.mistakes.length && unexplained(found, readings)) {
    whole = true;
    findings.push(
      finding('doubt-unexplained', 'shots', {
        seenShots: found.misfits.length,
        statedShots: readings.length,
      }),
    );
  }
  return {
    findings,
    leftOut,
    unchecked: uncheckedOf(found, readings, array, findings.length > 0),
    doubtful: { pointing: whole, pairs: whole },
    mended:
      found.mistakes.length === 0
        ? null
        : { stated: valuesOf(stated, shots), fitting: valuesOf(tidied(found), shots) },
  };
}

/**
 * Lamp photos that show no clear image of one lamp; pair photos whose images are as wide as the array; how far all distances
 * rest on the tape, where nothing else is doubted.
 */
function uncheckedOf(
  { unnoticed }: Found,
  readings: readonly Reading[],
  { tubeLengthMm }: Session['array'],
  isDoubted: boolean,
): Finding[] {
  const unchecked: Finding[] = [];
  const photos = readings.flatMap(({ shot, spots }) => (shot.kind === 'lamp' && !spots ? [shot.photo] : []));
  if (photos.length > 0) unchecked.push(finding('lamp-images-unclear', 'pointing', { photos }));
  const wide = readings.flatMap(({ shot, spots }) =>
    shot.kind === 'pair' && spots && spots.widthShare >= SPOTS.wideShare ? [shot.photo] : [],
  );
  if (wide.length > 0) unchecked.push(finding('pair-images-wide', 'pairs', { photos: wide }));
  if (!isDoubted && readings.some(({ shot, spots }) => shot.kind === 'pair' && spots)) {
    unchecked.push(finding('distances-rest-on-tape', 'resolving', { ...unnoticed, tubeLengthMm }));
  }
  return unchecked;
}

function valuesOf({ array, places }: Statement, shots: readonly { readonly photo: string }[]): MendedValues {
  return { array, shots: shots.map(({ photo }, n) => ({ photo, place: places[n] })) };
}

const sameKind = (shots: readonly (LampShot | PairShot)[], { kind }: LampShot | PairShot): number =>
  shots.filter((shot) => shot.kind === kind).length;

function unexplained({ misfits }: Found, readings: readonly Reading[]): boolean {
  return misfits.length > CONSISTENCY.mostLeftOut * readings.length;
}

/** Shots that fit nothing, each by itself; they are left out where they are few. */
function oddShots(found: Found, readings: readonly Reading[], leftOut: Set<string>): Finding[] {
  return found.misfits.flatMap((index) => {
    const { shot } = readings[index]!;
    if (leftOut.has(shot.photo)) return [];
    if (!unexplained(found, readings)) leftOut.add(shot.photo);
    return [finding('doubt-photo', shot.photo, { statedKind: shot.kind })];
  });
}
