import type { LitShot } from '@twolamp/flux';
import type { BackDepartures } from '@twolamp/places';
import { angularPitch, type ArrayGeometry, tubeLayout } from '@twolamp/optics';
import { median, neighbourFinder } from '@twolamp/numeric';
import type { LampShot, PairShot, Shot } from '@twolamp/session';
import { fitOneSpot, fitTwoSpots, type HeldWidth } from './fit-spots.js';
import { commonProfile, GAUSSIAN } from './lamp-profile.js';
import type { CellsLit, Spots } from './spots.js';
import { SPOTS } from './tuning.js';

/** One lamp or pair shot with what its photo shows; null where no light stands out. */
export interface Reading {
  readonly shot: LampShot | PairShot;
  readonly spots: Spots | null;
  /** Whether its brightness may be compared with that of the others. */
  readonly exposed: boolean;
}

/**
 * What each lamp and pair shot shows, whatever is stated of its lamps.
 *
 * @param relative - relative transmission of each cell, NaN where unknown
 * @param unexposed - photos whose exposure isn't known
 * @param backs - how far the tubes' ends at the sheet sit from their stated places; their fronts are taken to sit alike
 */
export function readShots(
  array: ArrayGeometry,
  lit: readonly LitShot<Shot>[],
  relative: ArrayLike<number>,
  unexposed: ReadonlySet<string>,
  backs: BackDepartures | null,
): Reading[] {
  const tubes = tubeLayout(array);
  const places = Array.from({ length: tubes.count }, (_, k) => ({
    across: tubes.across[k]! + (backs?.acrossMm[k] ?? 0) / array.backPitchMm,
    up: tubes.up[k]! + (backs?.upMm[k] ?? 0) / array.backPitchMm,
  }));
  const across = Float64Array.from(places, (place) => place.across);
  const up = Float64Array.from(places, (place) => place.up);
  const around = neighbourFinder(across, up);
  const near = places.map((_, k) =>
    [k, ...around(k, SPOTS.smoothing).map(({ index }) => index)].sort((a, b) => a - b),
  );
  const cells = ({ light }: LitShot<Shot>): CellsLit => {
    const usable = Uint8Array.from(places, (_, k) =>
      relative[k]! >= SPOTS.leastTransmission &&
      relative[k]! <= SPOTS.mostTransmission &&
      light.clipped[k] === 0 &&
      Number.isFinite(light.flux[k])
        ? 1
        : 0,
    );
    return {
      across,
      up,
      near,
      usable,
      light: light.flux.map((flux, k) => (usable[k] ? flux / relative[k]! : 0)),
      noise: light.sigma.map((sigma, k) => (usable[k] ? sigma / relative[k]! : 1)),
    };
  };
  const lamps = lit.flatMap((one) => (one.shot.kind === 'lamp' ? [{ shot: one.shot, lit: cells(one) }] : []));
  /** Logarithm of a pitch as seen from a lamp, radians: images are so much narrower in pitches. */
  const pitchLn = ({ distanceMm }: LampShot | PairShot): number => Math.log(angularPitch(array, distanceMm));
  const lampsPitchLn = median(lamps.map(({ shot }) => pitchLn(shot)));
  /** The width that images of single lamps, given for all of them, let expect of others. */
  const widthHeld = (spots: readonly (Spots | null)[]) => {
    const angleLn = median(lamps.map(({ shot }, n) => (spots[n]?.widthLn ?? Number.NaN) + pitchLn(shot)));
    return (shot: LampShot | PairShot): HeldWidth | null => {
      if (Number.isNaN(angleLn)) return null;
      const change = lampsPitchLn - pitchLn(shot);
      return { ln: angleLn - pitchLn(shot), sigma: Math.hypot(SPOTS.widthLn, SPOTS.changeOpen * change) };
    };
  };
  const first = lamps.map((one) => fitOneSpot(one.lit, GAUSSIAN, null));
  const profile = commonProfile(lamps.flatMap(({ lit }, n) => (first[n] ? [{ lit, spots: first[n] }] : [])));
  const heldAtFirst = widthHeld(first);
  const second = lamps.map(({ shot, lit }) => fitOneSpot(lit, profile, heldAtFirst(shot)));
  const ones = new Map(lamps.map(({ shot }, n) => [shot as Shot, second[n]]));
  const heldWidth = widthHeld(second);
  return lit.flatMap((one): Reading[] => {
    const { shot } = one;
    const exposed = !unexposed.has(shot.photo);
    if (shot.kind === 'lamp') return [{ shot, spots: ones.get(shot) ?? null, exposed }];
    return shot.kind === 'pair'
      ? [{ shot, spots: fitTwoSpots(cells(one), profile, heldWidth(shot)), exposed }]
      : [];
  });
}

/**
 * How much wider or narrower than seen the lattice may be about its middle, relative: a bulge that grows evenly from there
 * can't be told from a larger scale.
 */
export function stretchSigmaOf(array: ArrayGeometry, backs: BackDepartures | null): number {
  if (!backs) return array.arrangement === 'packed' ? SPOTS.packedScale : 0;
  const { across, up } = tubeLayout(array);
  return median(
    backs.sigmaMm.map((sigma, k) => {
      return sigma / (Math.max(1, Math.hypot(across[k]!, up[k]!)) * array.backPitchMm);
    }),
  );
}
