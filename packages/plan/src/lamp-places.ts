import { axisSpacingMm, latticePlace, tubeAxis, tubeFront, tubeLayout } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { FEW_LAMPS_SHARE, GROUP_MIDDLES, GROUP_RADIUS } from './tuning.js';

/** Where a single lamp stands beside the array's axis, seen from the back. */
export interface LampPlace {
  readonly acrossMm: number;
  readonly upMm: number;
}

/** Lamps around a tube that give its direction: two slopes and a height. */
export const LAMPS_FOR_A_DIRECTION = 3;

/** Steps that are read off a tape measure without counting its lines. */
const TAPE_STEPS_MM = [10, 5] as const;
/** A step is at most this share of the way between the two nearest lamps, so that none is moved by more than a tenth of it either way. */
const MOST_STEP_SHARE = 0.2;

/** From −half to +half, ends included. */
function endToEnd(count: number, half: number): number[] {
  return Array.from({ length: count }, (_, i) => half * ((2 * i) / (count - 1) - 1));
}

/** Places row by row and back again, from the top. */
function grid(across: readonly number[], up: readonly number[]): LampPlace[] {
  return up
    .toReversed()
    .flatMap((upMm, row) =>
      (row % 2 === 0 ? across : across.toReversed()).map((acrossMm) => ({ acrossMm, upMm })),
    );
}

/** Half the field that all tubes together look at, in the plane of the lamps. */
function halfFieldMm(array: ArraySpec, distanceMm: number): LampPlace {
  const axis = axisSpacingMm(array, distanceMm);
  return { acrossMm: (array.columns / 2) * axis, upMm: latticePlace(array, 1, 1).up * axis };
}

/** A dense sweep from rim to rim. */
export function sweepPlaces(
  array: ArraySpec,
  distanceMm: number,
  count: { readonly across: number; readonly up: number },
): LampPlace[] {
  const half = halfFieldMm(array, distanceMm);
  const outermost = ((array.columns - 1) / array.columns) * half.acrossMm;
  return onTape(grid(endToEnd(count.across, outermost), endToEnd(count.up, half.upMm)));
}

/** Nine places in the middles of the thirds of a share of the field, to the millimetre. */
export function thirdsPlaces(array: ArraySpec, distanceMm: number, share: number): LampPlace[] {
  return thirds(array, distanceMm, share).map(toMm);
}

function thirds(array: ArraySpec, distanceMm: number, share: number): LampPlace[] {
  const half = halfFieldMm(array, distanceMm);
  const middles = (whole: number) => endToEnd(3, (2 / 3) * share * whole);
  return grid(middles(half.acrossMm), middles(half.upMm));
}

/** Nine places in three triangles, each so small that all its lamps light the tubes that look between them; to the millimetre. */
export function trianglePlaces(array: ArraySpec, distanceMm: number): LampPlace[] {
  return triangles(array, distanceMm).map(toMm);
}

function triangles(array: ArraySpec, distanceMm: number): LampPlace[] {
  const half = halfFieldMm(array, distanceMm);
  const radius = (GROUP_RADIUS * distanceMm * array.tubeBoreMm) / array.tubeLengthMm;
  return GROUP_MIDDLES.flatMap(({ across, up }) =>
    [0, 1, 2].map((n) => {
      const angle = (2 * Math.PI * n) / 3 - Math.sign(up) * (Math.PI / 2);
      return {
        acrossMm: across * half.acrossMm + radius * Math.cos(angle),
        upMm: up * half.upMm + radius * Math.sin(angle),
      };
    }),
  );
}

/**
 * The nine places, of an even grid or of triangles, under which more black tubes show where they look. Where that is the same, triangles, since
 * gloss lets more tubes see three lamps of them; but an even grid where all tubes see enough of it. Rounded
 * for a tape measure, and row by row from the top, so that a stand's height is seldom changed.
 */
export function fewLampPlaces(array: ArraySpec, distanceMm: number): LampPlace[] {
  const even = thirds(array, distanceMm, FEW_LAMPS_SHARE);
  const grouped = triangles(array, distanceMm);
  const tubes = tubeLayout(array).count;
  const [byEven, byGrouped] = [even, grouped].map((places) => seenByTubes(array, distanceMm, places));
  return rowByRow(onTape(byEven === tubes || byEven! > byGrouped! ? even : grouped));
}

/** How many black tubes see three or more lamps. */
function seenByTubes(array: ArraySpec, distanceMm: number, places: readonly LampPlace[]): number {
  const reach = (distanceMm * array.tubeBoreMm) / array.tubeLengthMm;
  const lamps = Array.from({ length: tubeLayout(array).count }, (_, n) => {
    const [front, axis] = [tubeFront(array, n), tubeAxis(array, n)];
    const [across, up] = [front.acrossMm + axis.across * distanceMm, front.upMm + axis.up * distanceMm];
    return places.filter(({ acrossMm, upMm }) => Math.hypot(acrossMm - across, upMm - up) < reach).length;
  });
  return lamps.filter((seen) => seen >= LAMPS_FOR_A_DIRECTION).length;
}

/** Row by row from the top, every second row backwards. */
function rowByRow(places: readonly LampPlace[]): LampPlace[] {
  const heights = [...new Set(places.map(({ upMm }) => upMm))].sort((a, b) => b - a);
  return heights.flatMap((height, row) => {
    const along = places.filter(({ upMm }) => upMm === height).sort((a, b) => a.acrossMm - b.acrossMm);
    return row % 2 === 0 ? along : along.reverse();
  });
}

/** Places in the longest of {@link TAPE_STEPS_MM} that leaves the pattern as it is, the same on both sides of the axis. */
function onTape(places: readonly LampPlace[]): LampPlace[] {
  const nearest = Math.min(
    ...places.flatMap((one, n) =>
      places.slice(n + 1).map((other) => Math.hypot(one.acrossMm - other.acrossMm, one.upMm - other.upMm)),
    ),
  );
  const step = TAPE_STEPS_MM.find((mm) => mm <= nearest * MOST_STEP_SHARE) ?? 1;
  return places.map(({ acrossMm, upMm }) => ({
    acrossMm: inSteps(acrossMm, step),
    upMm: inSteps(upMm, step),
  }));
}

/** Rounded the same way up and down. */
const inSteps = (mm: number, step: number) => Math.sign(mm) * Math.round(Math.abs(mm) / step) * step + 0;

const toMm = ({ acrossMm, upMm }: LampPlace): LampPlace => ({
  acrossMm: inSteps(acrossMm, 1),
  upMm: inSteps(upMm, 1),
});
