import { interpolate } from '@twolamp/numeric';
import {
  bowFromEntranceSlopeMm,
  type Random,
  type TubeShape,
  traceAcceptance,
  type Wall,
} from '@twolamp/optics';
import { LEAST_GUIDED } from './tuning.js';

/** Bow in mm of a tube of an array. */
export interface Bows {
  /** Bow of a tube that looks aside by a slope. */
  readonly ofLook: (slope: number) => number;
  /** Bow of a tube with nominal direction that passes this share of a straight tube's light; null if the wall is unknown. */
  readonly ofLoss: (share: number) => number | null;
}

/** Bows traced, in bores. */
const TRACED_BORES = [0, 0.25, 0.5, 0.65, 0.8, 1] as const;
/** Rays per direction: centre of gravity and total light average over many directions, and need few. */
const RAYS = 48;

interface Traced {
  readonly bowMm: number;
  /** Direction of the tube, and its ratio to the slope of the entrance tangent. */
  readonly slope: number;
  readonly guided: number;
  /** Light over that of the straight tube. */
  readonly light: number;
}

/** Bows with mirror walls: the tube looks along its entrance tangent, which is at 4h/L to the chord. */
export function mirrorBows({ lengthMm }: TubeShape): Bows {
  return { ofLook: (slope) => -bowFromEntranceSlopeMm(slope, lengthMm), ofLoss: () => null };
}

/**
 * Bows with real walls. The less a wall reflects and the smaller the bow, the closer is the tube's direction to the chord,
 * and the more light a bow costs. Bent tubes are traced, on first use, and the tables of direction and light inverted.
 *
 * @param tube - straight
 */
export function tracedBows(tube: TubeShape, wall: Wall, random: Random): Bows {
  const { ofLook } = mirrorBows(tube);
  let traced: readonly Traced[] | null = null;
  const trace = () => {
    const tubes = TRACED_BORES.map((bores) => {
      const bowMm = bores * tube.boreMm;
      return { bowMm, ...traceAcceptance({ ...tube, bowMm }, wall, random, { raysPerDirection: RAYS }) };
    });
    return tubes.map(({ bowMm, centre, evenThroughput }): Traced => {
      const slope = Math.hypot(centre.across, centre.up);
      return {
        bowMm,
        slope,
        guided: Math.max(LEAST_GUIDED, ofLook(slope) / bowMm),
        light: evenThroughput / tubes[0].evenThroughput,
      };
    });
  };
  return {
    ofLook: (slope) => {
      traced ??= trace();
      const bowed = traced.slice(1);
      const guided = interpolate(
        bowed.map((one) => one.slope),
        bowed.map((one) => one.guided),
        slope,
      );
      return ofLook(slope) / guided;
    },
    ofLoss: (share) => {
      traced ??= trace();
      const darkFirst = traced.toReversed();
      return interpolate(
        darkFirst.map((one) => one.light),
        darkFirst.map((one) => one.bowMm),
        share,
      );
    },
  };
}
