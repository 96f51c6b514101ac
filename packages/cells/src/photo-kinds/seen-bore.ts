import { median, thin } from '@twolamp/numeric';
import { type ArraySpec, type Finding, finding, type ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture } from '@twolamp/flux';
import { lightAround } from '@twolamp/places';
import type { SpotLight } from './photo-look.js';
import { TUNING } from './tuning.js';

/**
 * Diameter of a typical spot in pitches: of a disc as large as the area above half of the spot's height (full width at half
 * maximum). The image of an open tube's end on the sheet is as wide as its bore; scatter in the sheet and blur widen it little
 * while they are small against it.
 *
 * @param picture - evenly lit, without stray light
 * @param cells - their places on it
 * @param tubes - which of them are looked at
 * @param light - of these
 */
export function seenBorePitches(
  picture: ReducedPhoto,
  { x, y, area, unit, pitchPx }: CellsOnPicture,
  tubes: readonly number[],
  { spot, gap }: SpotLight,
): number {
  const height = Float64Array.from(spot, (light, n) => light - gap[n]!);
  const usual = median(height);
  const bright = Array.from(height.keys()).filter((n) => height[n]! > TUNING.boreSpotShare * usual);
  const diameters = thin(bright, TUNING.boreSpots).map((n) => {
    const k = tubes[n]!;
    const half = (spot[n]! + gap[n]!) / 2;
    const pixels = lightAround(picture, x[k]!, y[k]!, pitchPx / 2).filter((value) => value > half).length;
    return 2 * unit * Math.sqrt(pixels / area[k]! / Math.PI);
  });
  return median(diameters);
}

/**
 * The finding that the spots are not as wide as the stated bore.
 *
 * @param seenPitches - from {@link seenBorePitches}
 */
export function boreDoubt({ tubeBoreMm, backPitchMm }: ArraySpec, seenPitches: number): Finding[] {
  const seenMm = seenPitches * backPitchMm;
  if (!(Math.abs(seenMm / tubeBoreMm - 1) > TUNING.boreDeparture)) return [];
  return [
    finding('doubt-bore', 'array.tube-bore', {
      statedMm: tubeBoreMm,
      seenMm,
      seenUncertaintyMm: TUNING.boreUncertainty * seenMm,
    }),
  ];
}
