import { DOUBTED_LENGTHS, type DoubtedLength } from '@twolamp/session';
import { type StatedPlace, type Statement, withArray, withPlaces } from './statement.js';
import { MISTAKES } from './tuning.js';

/** Which lamps: the single ones, the pairs, or both. */
export type Kinds = 'lamp' | 'pair' | 'both';

/** Typed in mm, all others in m. */
const SMALL_FIELDS: ReadonlySet<DoubtedLength> = new Set([
  'tube-length',
  'back-pitch',
  'front-pitch',
  'both pitches',
  'spacing',
]);
/** Only a part of what is usually typed alike. */
export const PART_FIELDS: ReadonlySet<DoubtedLength> = new Set([
  'lamp distance',
  'pair distance',
  'lamp across',
  'lamp up',
]);
/** What small changes of change much: the tubes' directions come from the difference of both pitches. */
export const PITCH_FIELDS: ReadonlySet<DoubtedLength> = new Set(['back-pitch', 'front-pitch']);
/** Measured from a middle or from end to end. */
const HALVED_FIELDS: ReadonlySet<DoubtedLength> = new Set(['spacing', 'lamp place']);

/** A number of one shot, or of a few that state the same. */
export type ShotField = 'across' | 'up' | 'distance' | 'spacing' | 'exposure';

/** Where a number of a shot stands in a stated place. */
export const NAMES = {
  across: 'acrossMm',
  up: 'upMm',
  distance: 'distanceMm',
  spacing: 'spacingMm',
} as const satisfies Partial<Record<ShotField, keyof StatedPlace>>;

/** A mistake in a session file; shots are indices into the statement's places. */
export type Mistake =
  | { readonly is: 'mirrored'; readonly kinds: Kinds; readonly axis: 'across' | 'up' | 'both' }
  | { readonly is: 'axes-exchanged'; readonly kinds: Kinds; readonly signs: readonly [number, number] }
  | { readonly is: 'pairs-turned'; readonly byDeg: number }
  | { readonly is: 'from-sheet'; readonly kinds: Kinds }
  | { readonly is: 'unit' | 'length'; readonly field: DoubtedLength; readonly factor: number }
  | { readonly is: 'distance-offset'; readonly kinds: Kinds; readonly offsetMm: number }
  | {
      readonly is: 'labels-shifted';
      readonly kind: 'lamp' | 'pair';
      readonly from: number;
      readonly by: 1 | -1;
    }
  | { readonly is: 'order'; readonly kind: 'lamp' | 'pair'; readonly order: Order }
  | { readonly is: 'labels-swapped'; readonly one: number; readonly other: number }
  | {
      readonly is: 'number';
      readonly field: ShotField;
      readonly shots: readonly number[];
      /** New value in mm; for an exposure, the factor to the stated one. */
      readonly value: number;
    };
type Order = 'reversed' | 'serpentine' | 'by columns';

/** A mistake that could have been made, with the statement as it would be without it. */
export interface Hypothesis {
  readonly mistake: Mistake;
  readonly statement: Statement;
  /** How unlikely it is beforehand, in units of the cost. */
  readonly penalty: number;
}

const of = (kinds: Kinds, { kind }: StatedPlace): boolean => kinds === 'both' || kinds === kind;

type LengthName = 'acrossMm' | 'upMm' | 'distanceMm' | 'spacingMm';

/** How unlikely a wrong length is beforehand, by the logarithm of its factor. */
export const lengthPenalty = (ln: number): number =>
  MISTAKES.penalty.length + 2 * Math.log1p((ln / MISTAKES.usualLn) ** 2);

/** The statement with a length times a factor. */
export function scaled(statement: Statement, field: DoubtedLength, factor: number): Statement {
  const { frontPitchMm, backPitchMm, tubeLengthMm } = statement.array;
  const places = (kinds: Kinds, ...names: LengthName[]) =>
    withPlaces(statement, (place) =>
      of(kinds, place)
        ? { ...place, ...Object.fromEntries(names.map((name) => [name, place[name] * factor])) }
        : place,
    );
  switch (field) {
    case 'tube-length':
      return withArray(statement, { tubeLengthMm: tubeLengthMm * factor });
    case 'back-pitch':
      return withArray(statement, { backPitchMm: backPitchMm * factor });
    case 'front-pitch':
      return withArray(statement, { frontPitchMm: frontPitchMm * factor });
    case 'both pitches':
      return withArray(statement, {
        backPitchMm: backPitchMm * factor,
        frontPitchMm: frontPitchMm * factor,
      });
    case 'distance':
      return places('both', 'distanceMm');
    case 'lamp distance':
      return places('lamp', 'distanceMm');
    case 'pair distance':
      return places('pair', 'distanceMm');
    case 'spacing':
      return places('pair', 'spacingMm');
    case 'lamp place':
      return places('lamp', 'acrossMm', 'upMm');
    case 'lamp across':
      return places('lamp', 'acrossMm');
    case 'lamp up':
      return places('lamp', 'upMm');
    case 'lamp place and distance':
      return places('lamp', 'acrossMm', 'upMm', 'distanceMm');
  }
}

/** The statement with all distances of some kinds longer by an offset; null where one would be nothing. */
export function offset(statement: Statement, kinds: Kinds, offsetMm: number): Statement | null {
  const changed = withPlaces(statement, (place) =>
    of(kinds, place) ? { ...place, distanceMm: place.distanceMm + offsetMm } : place,
  );
  return changed.places.some((place) => place && !(place.distanceMm > MISTAKES.leastDistanceMm))
    ? null
    : changed;
}

/** Kinds of lamps that a statement has, and both where it has both. */
export function kindsOf({ places }: Statement): Kinds[] {
  const has = (kind: 'lamp' | 'pair') => places.some((place) => place?.kind === kind);
  const kinds: Kinds[] = (['lamp', 'pair'] as const).filter(has);
  return kinds.length === 2 ? ['both', ...kinds] : kinds;
}

/** Mistakes in signs and axes. */
export function signMistakes(statement: Statement): Hypothesis[] {
  const penalty = (kinds: Kinds) => MISTAKES.penalty.sign + (kinds === 'both' ? 0 : MISTAKES.penalty.oneKind);
  const found: Hypothesis[] = [];
  for (const kinds of kindsOf(statement)) {
    for (const axis of ['across', 'up', 'both'] as const) {
      found.push({
        mistake: { is: 'mirrored', kinds, axis },
        penalty: penalty(kinds),
        statement: withPlaces(statement, (place) =>
          of(kinds, place)
            ? {
                ...place,
                acrossMm: axis === 'up' ? place.acrossMm : -place.acrossMm,
                upMm: axis === 'across' ? place.upMm : -place.upMm,
                turnedDeg: axis === 'both' ? place.turnedDeg : -place.turnedDeg,
              }
            : place,
        ),
      });
    }
    for (const signs of [
      [1, 1],
      [1, -1],
      [-1, 1],
      [-1, -1],
    ] as const) {
      found.push({
        mistake: { is: 'axes-exchanged', kinds, signs },
        penalty: penalty(kinds) + MISTAKES.penalty.exchanged,
        statement: withPlaces(statement, (place) =>
          of(kinds, place)
            ? { ...place, acrossMm: signs[0] * place.upMm, upMm: signs[1] * place.acrossMm }
            : place,
        ),
      });
    }
  }
  if (statement.places.some((place) => place?.kind === 'pair')) {
    found.push({
      mistake: { is: 'pairs-turned', byDeg: 90 },
      penalty: MISTAKES.penalty.sign,
      statement: withPlaces(statement, (place) =>
        place.kind === 'pair' ? { ...place, turnedDeg: place.turnedDeg + 90 } : place,
      ),
    });
  }
  return found;
}

/** Factors by which a field may be wrong at once, with how unlikely each is. */
function unitFactors(field: DoubtedLength): [factor: number, penalty: number][] {
  const { small, large, half } = MISTAKES.unitFactors;
  const { unit, unusualUnit, oneKind } = MISTAKES.penalty;
  const own = SMALL_FIELDS.has(field) ? small : large;
  const beforehand = unit + (PART_FIELDS.has(field) ? oneKind : 0);
  return [
    ...own.map((factor, n): [number, number] => [
      factor,
      beforehand + (n < MISTAKES.usualFactors ? 0 : unusualUnit),
    ]),
    ...(HALVED_FIELDS.has(field) ? half.map((factor): [number, number] => [factor, beforehand]) : []),
  ];
}

/** Units mistaken for each other, and distances measured from the sheet. */
export function unitMistakes(statement: Statement): Hypothesis[] {
  const found: Hypothesis[] = [];
  const kinds = kindsOf(statement);
  for (const field of DOUBTED_LENGTHS) {
    if (!applies(field, statement)) continue;
    for (const [factor, penalty] of unitFactors(field)) {
      const changed = scaled(statement, field, factor);
      if (isPlausible(changed))
        found.push({ mistake: { is: 'unit', field, factor }, statement: changed, penalty });
    }
  }
  for (const kind of kinds) {
    const changed = offset(statement, kind, -statement.array.tubeLengthMm);
    if (!changed) continue;
    const penalty = MISTAKES.penalty.fromSheet + (kind === 'both' ? 0 : MISTAKES.penalty.oneKind);
    found.push({ mistake: { is: 'from-sheet', kinds: kind }, statement: changed, penalty });
  }
  return found;
}

/** Fields on which places of images depend only where the tubes' axes fan out. */
const FAN_FIELDS: ReadonlySet<DoubtedLength> = new Set([
  'tube-length',
  'distance',
  'lamp distance',
  'pair distance',
]);

/**
 * Whether photos can contradict a length field. In front of parallel tubes images lie at the same places from all
 * distances, and light and width follow one power of them.
 */
export function applies(field: DoubtedLength, statement: Statement): boolean {
  const { frontPitchMm, backPitchMm } = statement.array;
  if (FAN_FIELDS.has(field) && Math.abs(frontPitchMm / backPitchMm - 1) < MISTAKES.parallelPitches)
    return false;
  const kinds = kindsOf(statement);
  switch (field) {
    case 'lamp distance':
    case 'pair distance':
      return kinds.includes('both');
    case 'spacing':
      return kinds.includes('pair');
    case 'lamp place':
    case 'lamp across':
    case 'lamp up':
    case 'lamp place and distance':
      return kinds.includes('lamp');
    default:
      return true;
  }
}

/** Whether lengths lie where those of a bench can lie, and the tubes lean outwards. */
export function isPlausible({ array, places }: Statement): boolean {
  const { least, most } = MISTAKES.plausibleMm;
  const inside = (name: keyof typeof least, value: number) => value >= least[name] && value <= most[name];
  return (
    inside('length', array.tubeLengthMm) &&
    inside('pitch', array.backPitchMm) &&
    inside('pitch', array.frontPitchMm) &&
    array.frontPitchMm >= array.backPitchMm * MISTAKES.leastPitchRatio &&
    places.every(
      (place) =>
        place === null ||
        (inside('distance', place.distanceMm) &&
          (place.kind === 'lamp' || inside('spacing', place.spacingMm))),
    )
  );
}

/** Photos listed in another order than they were taken in. */
export function orderMistakes(statement: Statement, kind: 'lamp' | 'pair'): Hypothesis[] {
  const found: Hypothesis[] = [];
  const own = [...statement.places.keys()].filter((n) => statement.places[n]?.kind === kind);
  if (own.length < MISTAKES.leastForOrder) return found;
  for (const from of own.keys()) {
    for (const by of [1, -1] as const) {
      if (own.length - from < MISTAKES.leastForOrder) continue;
      found.push({
        mistake: { is: 'labels-shifted', kind, from: own[from]!, by },
        statement: permuted(statement, own, (n) => (n < from ? n : n + by < from ? null : n + by)),
        penalty: MISTAKES.penalty.order + (from === 0 ? 0 : 2 * Math.log(own.length)),
      });
    }
  }
  for (const [order, permutation] of orders(statement, own)) {
    found.push({
      mistake: { is: 'order', kind, order },
      statement: permuted(statement, own, (n) => permutation[n]!),
      penalty: MISTAKES.penalty.order,
    });
  }
  return found;
}

/** Each shot gets the place of another; none where there is no such shot. */
function permuted(
  statement: Statement,
  own: readonly number[],
  from: (n: number) => number | null,
): Statement {
  const places = [...statement.places];
  own.forEach((index, n) => {
    const source = from(n);
    places[index] = (source === null ? null : statement.places[own[source] ?? -1]) ?? null;
  });
  return { ...statement, places };
}

/** Reversed; every second row the other way; a grid walked by columns where rows are listed, or the reverse. */
function orders({ places }: Statement, own: readonly number[]): [Order, number[]][] {
  const all = [...own.keys()];
  const found: [Order, number[]][] = [['reversed', all.map((n) => own.length - 1 - n)]];
  const rows =
    runs(own.map((index) => places[index]!.upMm)) ?? runs(own.map((index) => places[index]!.acrossMm));
  if (rows === null) return found;
  const length = own.length / rows;
  found.push([
    'serpentine',
    all.map((n) => {
      const row = Math.floor(n / length);
      return row % 2 === 0 ? n : row * length + (length - 1 - (n % length));
    }),
  ]);
  found.push(['by columns', all.map((n) => (n % rows) * length + Math.floor(n / rows))]);
  return found;
}

/** Number of equally long runs of one value that a list falls into; null where it doesn't. */
function runs(values: readonly number[]): number | null {
  let length = 1;
  while (length < values.length && values[length] === values[0]) length++;
  const count = values.length / length;
  if (length < 2 || count < 2 || !Number.isInteger(count)) return null;
  for (let row = 0; row < count; row++) {
    if (!values.slice(row * length, (row + 1) * length).every((value) => value === values[row * length]))
      return null;
  }
  return count;
}

/** Labels of two shots exchanged, among those that don't fit. */
export function swapMistakes(statement: Statement, misfits: readonly number[]): Hypothesis[] {
  const found: Hypothesis[] = [];
  misfits.forEach((one, n) => {
    for (const other of misfits.slice(n + 1)) {
      const [first, second] = [Math.min(one, other), Math.max(one, other)];
      const [here, there] = [statement.places[first], statement.places[second]];
      if (!here || !there || here.kind !== there.kind) continue;
      found.push({
        mistake: { is: 'labels-swapped', one: first, other: second },
        statement: withPlaces(statement, (place, index) =>
          index === first ? there : index === second ? here : place,
        ),
        penalty: MISTAKES.penalty.swap,
      });
    }
  });
  return found;
}
