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
  /** Of one that looks aside by a slope. */
  readonly ofLook: (slope: number) => number;
  /** Of one that passes a share of a straight tube's light, looking where it should; null where the wall isn't known. */
  readonly ofLoss: (share: number) => number | null;
}

/** Bows traced, in bores. */
const TRACED_BORES = [0, 0.25, 0.5, 0.65, 0.8, 1] as const;
/** A centre of gravity and the light in all need few. */
const RAYS = 48;

interface Traced {
  readonly bowMm: number;
  /** Where the tube looks, and that over the entrance's tangent. */
  readonly slope: number;
  readonly guided: number;
  /** Light over that of the straight tube. */
  readonly light: number;
}

/** The entrance's tangent leaves the chord by 4h/L, and the tube looks along it: so it is where the wall is a mirror. */
export function mirrorBows({ lengthMm }: TubeShape): Bows {
  return { ofLook: (slope) => -bowFromEntranceSlopeMm(slope, lengthMm), ofLoss: () => null };
}

/**
 * The same for a real wall, where the centre of gravity of what the tube sees lies short of the tangent, the more so the
 * less it mirrors and the smaller the bow, and where a bow costs light, the more so the less it mirrors: bent tubes are
 * traced, and look and light of each turned about. Traced when first asked.
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
