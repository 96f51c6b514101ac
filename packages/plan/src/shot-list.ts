import { axisSpacingMm, latticePlace } from '@twolamp/optics';
import type { ArraySpec, ShotDraft } from '@twolamp/session';

/** Lamp places across and up: what `pointing` is found from. */
const SWEEP = { across: 9, up: 7 } as const;
export const SWEEP_SHOTS = SWEEP.across * SWEEP.up;
/** Sideways places of a pair at every distance, as shares of the distance between neighbouring tubes' axes there. */
const NUDGES = { wellSampled: 3, undersampled: 5 } as const;
/** Tubes lit alone, across and up. */
const SINGLES = { across: 4, up: 3 } as const;
/** Repeats, whose scatter gives the noise. */
const REPEATS = 2;

const STATED = { stated: {} } as const;

const numbered = (name: string, index: number) => `${name}-${String(index + 1).padStart(2, '0')}.jpg`;

function repeats(kind: 'dark' | 'even' | 'bare'): ShotDraft[] {
  return Array.from({ length: REPEATS }, (_, i) => ({ photo: numbered(kind, i), kind, ...STATED }));
}

/** Evenly spread from −half to +half. */
function spread(count: number, half: number): number[] {
  return Array.from({ length: count }, (_, i) => Math.round(half * ((2 * i) / (count - 1) - 1)));
}

/** The lamp wanders over the field that all tubes together look at, row by row. */
function sweepShots(array: ArraySpec, distanceMm: number): ShotDraft[] {
  const axis = axisSpacingMm(array, distanceMm);
  const across = spread(SWEEP.across, ((array.columns - 1) / 2) * axis);
  const up = spread(SWEEP.up, latticePlace(array, 1, 1).up * axis).reverse();
  return up
    .flatMap((upMm) => across.map((acrossMm) => ({ acrossMm, upMm })))
    .map((place, i) => ({ photo: numbered('lamp', i), kind: 'lamp', ...STATED, ...place, distanceMm }));
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
  undersampled: boolean,
): ShotDraft[] {
  const nudges = undersampled ? NUDGES.undersampled : NUDGES.wellSampled;
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
function singleShots(array: ArraySpec): ShotDraft[] {
  const inside = (count: number, of: number) => [
    ...new Set(Array.from({ length: count }, (_, i) => Math.ceil(((i + 0.5) * of) / count))),
  ];
  return inside(SINGLES.up, array.rows)
    .flatMap((row) => inside(SINGLES.across, array.columns).map((column) => ({ row, column })))
    .map((place, i) => ({ photo: numbered('single', i), kind: 'single', ...STATED, ...place }));
}

/**
 * Everything to shoot, in the order of shooting: the bare sheet comes last, because the array is taken away for it.
 */
export function shotList(
  array: ArraySpec,
  spacingMm: number,
  pairDistancesMm: readonly number[],
  undersampled: boolean,
): ShotDraft[] {
  return [
    ...repeats('dark'),
    ...repeats('even'),
    ...pairShots(array, spacingMm, pairDistancesMm, undersampled),
    ...sweepShots(array, sweepDistanceMm(pairDistancesMm)),
    ...singleShots(array),
    ...repeats('bare'),
  ];
}

/**
 * In how many places of a sweep one tube sees the lamp brightly, on average.
 *
 * @param spreadCells - cells that one lamp's light covers, across
 */
export function sightings(array: ArraySpec, spreadCells: number): number {
  const rowStep = latticePlace(array, 1, 1).up - latticePlace(array, 2, 1).up;
  const coveredCells = ((Math.PI / 4) * spreadCells ** 2) / rowStep;
  return (SWEEP_SHOTS * coveredCells) / (array.rows * array.columns);
}
