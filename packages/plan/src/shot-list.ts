import { axisSpacingMm, latticePlace } from '@twolamp/optics';
import type { ArraySpec, ShotDraft } from '@twolamp/session';
import { fewLampPlaces, sweepPlaces } from './lamp-places.js';

/** A list of shots: the evening is the short way to a verdict, the thorough one answers everything. */
export interface ShotList {
  readonly name: 'evening' | 'thorough';
  /** In walking order. */
  readonly shots: readonly ShotDraft[];
}

interface ListSize {
  readonly pairDistances: number;
  /** Sideways places of a pair at each distance, in shares of the distance between neighbouring tubes' axes there. */
  readonly nudges: number;
  /** Places of the single lamp: nine, or a sweep of so many across and up. */
  readonly lamps: 'few' | { readonly across: number; readonly up: number };
  /** Dark and even shots; the scatter of the repeats gives the noise. */
  readonly darks: number;
  readonly evens: number;
  readonly bares: number;
  /** Tubes lit alone, across and up. */
  readonly singles: { readonly across: number; readonly up: number };
}

const EVENING: ListSize = {
  pairDistances: 5,
  nudges: 1,
  lamps: 'few',
  darks: 1,
  evens: 2,
  bares: 1,
  singles: { across: 0, up: 0 },
};
const THOROUGH: ListSize = {
  pairDistances: 7,
  nudges: 3,
  lamps: { across: 9, up: 7 },
  darks: 2,
  evens: 2,
  bares: 2,
  singles: { across: 4, up: 3 },
};
/** Blind gaps between tubes make a pair's fate depend on where it lies, so more places are tried. */
const NUDGES_UNDERSAMPLED = 5;

const STATED = { stated: {} } as const;

const numbered = (name: string, index: number) => `${name}-${String(index + 1).padStart(2, '0')}.jpg`;

function repeats(kind: 'dark' | 'even' | 'bare', count: number): ShotDraft[] {
  return Array.from({ length: count }, (_, i) => ({ photo: numbered(kind, i), kind, ...STATED }));
}

/**
 * The single lamp's places over the field that all tubes together look at. A dense sweep reaches the rim; a few places stand where most
 * tubes see three of them.
 */
function lampShots(array: ArraySpec, { lamps }: ListSize, distanceMm: number): ShotDraft[] {
  const places = lamps === 'few' ? fewLampPlaces(array, distanceMm) : sweepPlaces(array, distanceMm, lamps);
  return places.map((place, i) => ({
    photo: numbered('lamp', i),
    kind: 'lamp',
    ...STATED,
    ...place,
    distanceMm,
  }));
}

/** The sweep's lamp stands in the middle of the pairs' distances, so that it shows one lamp as the pairs show two. */
export function sweepDistanceMm(pairDistancesMm: readonly number[]): number {
  return pairDistancesMm[Math.floor(pairDistancesMm.length / 2)]!;
}

/** At every distance a pair side by side, nudged sideways by parts of the distance between neighbouring axes. */
function pairShots(
  array: ArraySpec,
  spacingMm: number,
  distancesMm: readonly number[],
  nudges: number,
): ShotDraft[] {
  return distancesMm
    .flatMap((distanceMm) =>
      Array.from({ length: nudges }, (_, i) => ({
        distanceMm,
        acrossMm: Math.round((axisSpacingMm(array, distanceMm) * i) / nudges),
      })),
    )
    .map((place, i) => ({
      photo: numbered('pair', i),
      kind: 'pair',
      ...STATED,
      ...place,
      spacingMm,
      turnedDeg: 0,
      upMm: 0,
    }));
}

/** Tubes spread over the array, away from its rim. */
function singleShots(array: ArraySpec, { singles }: ListSize): ShotDraft[] {
  const inside = (count: number, of: number) => [
    ...new Set(Array.from({ length: count }, (_, i) => Math.ceil(((i + 0.5) * of) / count))),
  ];
  return inside(singles.up, array.rows)
    .flatMap((row) => inside(singles.across, array.columns).map((column) => ({ row, column })))
    .map((place, i) => ({ photo: numbered('single', i), kind: 'single', ...STATED, ...place }));
}

/** Distance at which the lamps of a shot stand; 0 at the array itself. */
const distanceOf = (shot: ShotDraft) => ('distanceMm' in shot ? (shot.distanceMm ?? 0) : 0);

/**
 * Everything to shoot, in the order that spares walking: at the array first, then one walk away from it. The bare sheet
 * comes last, because the array is taken away for it.
 *
 * @param distancesFor - gives so many pair distances, near to far
 * @param undersampled - whether lamps can fall into blind gaps between tubes
 */
export function shotLists(
  array: ArraySpec,
  spacingMm: number,
  distancesFor: (count: number) => readonly number[],
  undersampled: boolean,
): { readonly evening: ShotList; readonly thorough: ShotList } {
  const listOf = (name: ShotList['name'], size: ListSize): ShotList => {
    const distances = distancesFor(size.pairDistances);
    const nudges = undersampled && size.nudges > 1 ? NUDGES_UNDERSAMPLED : size.nudges;
    const walk = [
      ...pairShots(array, spacingMm, distances, nudges),
      ...lampShots(array, size, sweepDistanceMm(distances)),
    ].sort((a, b) => distanceOf(a) - distanceOf(b));
    return {
      name,
      shots: [
        ...repeats('dark', size.darks),
        ...repeats('even', size.evens),
        ...walk,
        ...singleShots(array, size),
        ...repeats('bare', size.bares),
      ],
    };
  };
  return { evening: listOf('evening', EVENING), thorough: listOf('thorough', THOROUGH) };
}

/**
 * In how many places of a sweep one tube sees the lamp brightly, on average.
 *
 * @param spreadCells - cells that one lamp's light covers, across
 * @param lampPlaces - of the sweep
 */
export function sightings(array: ArraySpec, spreadCells: number, lampPlaces: number): number {
  const rowStep = latticePlace(array, 1, 1).up - latticePlace(array, 2, 1).up;
  const coveredCells = ((Math.PI / 4) * spreadCells ** 2) / rowStep;
  return (lampPlaces * coveredCells) / (array.rows * array.columns);
}
