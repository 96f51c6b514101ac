import { type DoubtedLength, type Finding, finding, type Session, type Shot } from '@twolamp/session';
import type { FoundMistake } from './find-mistakes.js';
import { type Mistake, NAMES } from './hypotheses.js';
import type { StatedPlace, Statement } from './statement.js';

const ARRAY_FIELDS = {
  'tube-length': 'tubeLengthMm',
  'back-pitch': 'backPitchMm',
  'front-pitch': 'frontPitchMm',
} as const;
const PLACE_FIELDS = {
  distance: ['both', 'distanceMm'],
  'lamp distance': ['lamp', 'distanceMm'],
  'pair distance': ['pair', 'distanceMm'],
  spacing: ['pair', 'spacingMm'],
  'lamp across': ['lamp', 'acrossMm'],
  'lamp up': ['lamp', 'upMm'],
} as const;

/** What a statement says of a length: the array's own, or that of the first shot with one; null for several at once. */
function lengthOf({ array, places }: Statement, field: DoubtedLength): number | null {
  if (field in ARRAY_FIELDS) return array[ARRAY_FIELDS[field as keyof typeof ARRAY_FIELDS]];
  if (!(field in PLACE_FIELDS)) return null;
  const [kind, name] = PLACE_FIELDS[field as keyof typeof PLACE_FIELDS];
  const first = places.find(
    (place) => place && (kind === 'both' || place.kind === kind) && place[name] !== 0,
  );
  return first?.[name] ?? null;
}

/** Where in session.yaml a length stands. */
function fieldPath(field: DoubtedLength): string {
  if (field in ARRAY_FIELDS) return `array.${field}`;
  if (field === 'both pitches') return 'array.front-pitch';
  return `shots.${field
    .replace(/^(lamp|pair) /, '')
    .replace('place', 'across')
    .replace(/ and .*/, '')}`;
}

/** A rounder number within the uncertainty: what a person would have typed. */
export function rounded(value: number, sigma: number): number {
  if (!(sigma > 0) || value === 0) return Number(value.toPrecision(6));
  for (let decimals = -4; decimals < 6; decimals++) {
    const scale = 10 ** decimals;
    const round = Math.round(value * scale) / scale;
    if (Math.abs(round - value) <= sigma && round !== 0) return Number(round.toPrecision(12));
  }
  return value;
}

function lengthValues(before: Statement, field: DoubtedLength, factor: number) {
  const statedMm = lengthOf(before, field);
  return {
    length: field,
    statedMm,
    fittingMm: statedMm === null ? null : Number((statedMm * factor).toPrecision(6)),
    fittingFactor: factor,
  };
}

/**
 * The findings of a mistake: the mistake itself, then the single changes of a length that fit nearly as well.
 *
 * @param shots - of the session, in the statement's order: its lamp and pair shots
 */
export function doubtsOf(
  { mistake, sigma, before, rivals }: FoundMistake,
  session: Session,
  shots: readonly Shot[],
): Finding[] {
  const photo = (index: number) => shots[index]!.photo;
  const path = (index: number, field: string) =>
    `shots[${session.shots.indexOf(shots[index]!) + 1}].${field}`;
  const own = ((): Finding => {
    switch (mistake.is) {
      case 'mirrored':
        return finding('doubt-mirrored', mistake.axis === 'up' ? 'shots.up' : 'shots.across', {
          fittingKinds: mistake.kinds,
          fittingAxis: mistake.axis,
        });
      case 'axes-exchanged':
        return finding('doubt-axes-exchanged', 'shots.across', {
          fittingKinds: mistake.kinds,
          fittingAcross: mistake.signs[0] > 0 ? 'up' : '-up',
          fittingUp: mistake.signs[1] > 0 ? 'across' : '-across',
        });
      case 'pairs-turned': {
        const statedDeg = before.places.find((place) => place?.kind === 'pair')?.turnedDeg ?? 0;
        return finding('doubt-pairs-turned', 'shots.turned', {
          statedDeg,
          fittingDeg: turnedTo(statedDeg, mistake.byDeg),
        });
      }
      case 'from-sheet':
        return finding('doubt-from-sheet', 'shots.distance', {
          fittingKinds: mistake.kinds,
          fittingOffsetMm: -before.array.tubeLengthMm,
        });
      case 'distance-offset':
        return finding('doubt-distance-offset', 'shots.distance', {
          fittingKinds: mistake.kinds,
          fittingOffsetMm: mistake.offsetMm,
          fittingUncertaintyMm: sigma,
        });
      case 'unit':
        return finding(
          'doubt-unit',
          fieldPath(mistake.field),
          lengthValues(before, mistake.field, mistake.factor),
        );
      case 'length':
        return finding('doubt-length', fieldPath(mistake.field), {
          ...lengthValues(before, mistake.field, mistake.factor),
          fittingUncertainty: sigma,
        });
      case 'labels-shifted':
        return finding('doubt-labels-shifted', 'shots', {
          kind: mistake.kind,
          statedFrom: photo(mistake.from),
          fittingShift: mistake.by > 0 ? 'the one after it' : 'the one before it',
        });
      case 'order':
        return finding('doubt-order', 'shots', { kind: mistake.kind, fittingOrder: mistake.order });
      case 'labels-swapped':
        return finding('doubt-labels-swapped', photo(mistake.one), {
          statedFirst: photo(mistake.one),
          statedSecond: photo(mistake.other),
        });
      case 'number':
        return numberDoubt(mistake, sigma, before, photo, path);
    }
  })();
  const others = rivals.flatMap((rival) =>
    rival.is === 'length' || rival.is === 'unit'
      ? [
          finding(
            'doubt-alternative',
            fieldPath(rival.field),
            lengthValues(before, rival.field, rival.factor),
          ),
        ]
      : [],
  );
  return [own, ...distinct(others, own).slice(0, MOST_ALTERNATIVES)];
}

/** Naming all that is entangled would name nothing. */
const MOST_ALTERNATIVES = 2;

function distinct<F extends Finding>(others: readonly F[], own: Finding): F[] {
  const seen = new Set([own.about]);
  return others.filter(({ about }) => !seen.has(about) && seen.add(about));
}

function turnedTo(statedDeg: number, byDeg: number): number {
  const turned = (((statedDeg + byDeg) % 180) + 180) % 180;
  return turned;
}

function numberDoubt(
  { field, shots, value }: Extract<Mistake, { is: 'number' }>,
  sigma: number,
  before: Statement,
  photo: (index: number) => string,
  path: (index: number, field: string) => string,
): Finding {
  const first = shots[0]!;
  if (field === 'exposure')
    return finding('doubt-exposure', photo(first), { fittingFactor: value, fittingUncertainty: sigma });
  const place: StatedPlace = before.places[first]!;
  return finding('doubt-number', path(first, field), {
    photo: photo(first),
    shots: shots.length,
    field,
    statedMm: place[NAMES[field]],
    fittingMm: value,
    fittingUncertaintyMm: sigma,
  });
}
