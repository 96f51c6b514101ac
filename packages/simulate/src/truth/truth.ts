import { NAMED_CRITERIA } from '@twolamp/session';
import { type Bench, NEAREST_SHARE, trueWall } from '../array/bench.js';
import { mixCrosstalk } from '../array/crosstalk.js';
import type { Tube } from '../array/tubes.js';
import type { Projection } from '../camera/projection.js';
import type { PlannedPhoto } from '../shots/photo-names.js';
import { slantLoss } from '../array/even-light.js';
import { evenPassed } from '../shots/passed-light.js';
import { truePair } from './dip.js';
import { trueResolvingDistanceMm } from './resolving.js';
import {
  TRUTH_FORMAT,
  type TrueCell,
  type TruePair,
  type TruePhoto,
  type TrueResolving,
  type Truth,
} from './truth-format.js';

const DEG_PER_RAD = 180 / Math.PI;

/**
 * Everything the measurement is to find.
 *
 * @param firstEven - how the first even photo sees the sheet
 */
export function truthOf(
  bench: Bench,
  photos: readonly PlannedPhoto[],
  taken: readonly TruePhoto[],
  firstEven: Projection,
): Truth {
  const cells = trueCells(bench, firstEven);
  return {
    format: TRUTH_FORMAT,
    seed: bench.plan.seed,
    array: bench.plan.array,
    wall: trueWall(bench.plan),
    cells,
    pairs: truePairs(bench, photos),
    resolving: trueResolving(bench),
    crosstalk: {
      meanTotal: cells.reduce((sum, cell) => sum + cell.crosstalk.total, 0) / cells.length,
      kernel: meanKernel(bench),
    },
    photos: taken,
  };
}

function trueCells(bench: Bench, view: Projection): TrueCell[] {
  const { tubes, plan } = bench;
  const boreAreaMm2 = Math.PI * (plan.array.tubeBoreMm / 2) ** 2;
  const out = mixCrosstalk(
    Float64Array.from(tubes, (_, index) => evenPassed(bench, index)),
    bench.leaks,
  );
  return tubes.flatMap((tube, index) => {
    if (tube.isUnfilled) return [];
    const { centre, widthRad } = bench.responses[index].far;
    const lookAcross = tube.chord.across + centre.across;
    const lookUp = tube.chord.up + centre.up;
    const clean = bench.healthy.far.evenThroughput * slantLoss(tube.nominalChord) * bench.even(tube.front);
    const to = bench.leaks[index].map((leak) => ({
      row: tubes[leak.to].row,
      column: tubes[leak.to].column,
      share: leak.share,
    }));
    const { fault } = tube;
    return {
      row: tube.row,
      column: tube.column,
      ...view.toPhoto(tube.back),
      relativeTransmission: out[index] / (clean * boreAreaMm2),
      absoluteTransmission: out[index] / (bench.even(tube.back) * boreAreaMm2),
      pointing: { acrossDeg: Math.atan(lookAcross) * DEG_PER_RAD, upDeg: Math.atan(lookUp) * DEG_PER_RAD },
      pointingErrorDeg:
        DEG_PER_RAD *
        Math.hypot(
          Math.atan(lookAcross) - Math.atan(tube.nominalChord.across),
          Math.atan(lookUp) - Math.atan(tube.nominalChord.up),
        ),
      acceptanceWidthDeg: widthRad * DEG_PER_RAD,
      fault: fault?.fault ?? 'none',
      bow: fault?.fault === 'bent' ? { mm: fault.bow, directionDeg: fault.direction } : null,
      cureShiftMm: fault?.fault === 'misaimed' ? cureOf(tube, plan.array.tubeLengthMm) : null,
      crosstalk: {
        total: to.reduce((sum, leak) => sum + leak.share, 0),
        worst: to.reduce<(typeof to)[number] | null>(
          (worst, leak) => (worst && worst.share >= leak.share ? worst : leak),
          null,
        ),
        to,
      },
    };
  });
}

/** Shift of the front end that makes a tube look where it would in an array as planned. */
function cureOf({ chord, nominalChord }: Tube, lengthMm: number): { across: number; up: number } {
  return {
    across: (nominalChord.across - chord.across) * lengthMm,
    up: (nominalChord.up - chord.up) * lengthMm,
  };
}

function truePairs(bench: Bench, photos: readonly PlannedPhoto[]): TruePair[] {
  const known = new Map<string, ReturnType<typeof truePair>>();
  return photos.flatMap(({ name, shot }) => {
    if (shot.kind !== 'pair') return [];
    const key = `${shot.spacing} ${shot.distance} ${shot.turned}`;
    const pair = known.get(key) ?? truePair(bench, shot.spacing, shot.distance, shot.turned);
    known.set(key, pair);
    return [
      {
        photo: name,
        distanceM: shot.distance / 1000,
        spacingM: shot.spacing / 1000,
        turnedDeg: shot.turned,
        separationCells: pair.separationCells,
        dip: pair.dip,
      },
    ];
  });
}

/** By each named criterion and the plan's own, for each spacing of the pairs, lamps side by side. */
function trueResolving(bench: Bench): TrueResolving[] {
  const pairs = bench.plan.shots.filter((shot) => shot.kind === 'pair');
  const criteria = new Map<string, number>([
    ...Object.entries(NAMED_CRITERIA),
    [bench.plan.criterion.name, bench.plan.criterion.requiredDip],
  ]);
  return [...new Set(pairs.map((pair) => pair.spacing))].flatMap((spacing) => {
    const distances = pairs.filter((pair) => pair.spacing === spacing).map((pair) => pair.distance);
    return [...criteria].map(([criterion, requiredDip]) => {
      const distanceMm = trueResolvingDistanceMm(
        bench,
        spacing,
        requiredDip,
        Math.min(...distances) * NEAREST_SHARE,
        Math.max(...distances) * 10,
      );
      return {
        criterion,
        requiredDip,
        spacingM: spacing / 1000,
        distanceM: distanceMm === null ? null : distanceMm / 1000,
      };
    });
  });
}

const KERNEL_REACH = 2;

function meanKernel(bench: Bench): number[][] | null {
  if (bench.plan.array.arrangement !== 'square') return null;
  const size = 2 * KERNEL_REACH + 1;
  const kernel = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  bench.leaks.forEach((leaks, from) => {
    for (const { to, share } of leaks) {
      const down = bench.tubes[to].row - bench.tubes[from].row + KERNEL_REACH;
      const right = bench.tubes[to].column - bench.tubes[from].column + KERNEL_REACH;
      const row = kernel[down];
      if (row !== undefined && right >= 0 && right < size) row[right] += share / bench.leaks.length;
    }
  });
  return kernel;
}
