import { type ArrayGeometry, axisSpacingMm } from '@twolamp/optics';
import type { LampShot, PairShot } from '@twolamp/session';
import type { ShotView } from './shot-view.js';

/** Place of something on the array in pitches from its middle. */
export interface PitchPlace {
  readonly across: number;
  readonly up: number;
}

const RADIANS = Math.PI / 180;
/** Cells this near count into the mean light of a neighbourhood. */
const NEIGHBOURHOOD_PITCHES = 1.1;

/** Where geometry puts a lamp's image, or the middle of a pair's images. */
export function expectedPlace(array: ArrayGeometry, shot: LampShot | PairShot): PitchPlace {
  const spacingMm = axisSpacingMm(array, shot.distanceMm);
  return { across: shot.acrossMm / spacingMm, up: shot.upMm / spacingMm };
}

/** From the place of a shot to each of its lamps, as geometry expects it, in pitches. */
export function lampOffsets(array: ArrayGeometry, shot: LampShot | PairShot): readonly PitchPlace[] {
  if (shot.kind === 'lamp') return [{ across: 0, up: 0 }];
  const half = shot.spacingMm / 2 / axisSpacingMm(array, shot.distanceMm);
  const across = half * Math.cos(shot.turnedDeg * RADIANS);
  const up = half * Math.sin(shot.turnedDeg * RADIANS);
  return [
    { across: -across, up: -up },
    { across, up },
  ];
}

export function lampsAt(place: PitchPlace, offsets: readonly PitchPlace[]): PitchPlace[] {
  return offsets.map(({ across, up }) => ({ across: place.across + across, up: place.up + up }));
}

export function middleOf(places: readonly PitchPlace[]): PitchPlace {
  return {
    across: places.reduce((sum, place) => sum + place.across, 0) / places.length,
    up: places.reduce((sum, place) => sum + place.up, 0) / places.length,
  };
}

/**
 * Where the light is: the place at which the mean light of the neighbourhoods of all lamps is greatest.
 *
 * @param offsets - from the place sought to each lamp's image
 * @returns null where no cell is usable
 */
export function brightestPlace(view: ShotView, offsets: readonly PitchPlace[]): PitchPlace | null {
  const count = view.cells.length;
  const near = gridOf(view);
  const meanAt = (across: number, up: number) => {
    let sum = 0;
    let known = 0;
    for (const i of near(across, up)) {
      if (Math.hypot(view.across[i]! - across, view.up[i]! - up) > NEIGHBOURHOOD_PITCHES) continue;
      sum += view.light[i]!;
      known++;
    }
    return known === 0 ? 0 : sum / known;
  };
  let best: PitchPlace | null = null;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < count; i++) {
    for (const first of offsets) {
      const across = view.across[i]! - first.across;
      const up = view.up[i]! - first.up;
      let light = 0;
      for (const offset of offsets) light += meanAt(across + offset.across, up + offset.up);
      if (light > most) {
        most = light;
        best = { across, up };
      }
    }
  }
  return best;
}

/** Looks up the cells around a place, by squares of two pitches. */
function gridOf(view: ShotView): (across: number, up: number) => number[] {
  const side = 2;
  const squares = new Map<string, number[]>();
  for (let i = 0; i < view.cells.length; i++) {
    const key = `${Math.floor(view.across[i]! / side)},${Math.floor(view.up[i]! / side)}`;
    const square = squares.get(key);
    if (square) square.push(i);
    else squares.set(key, [i]);
  }
  return (across, up) => {
    const found: number[] = [];
    const reach = NEIGHBOURHOOD_PITCHES;
    for (let x = Math.floor((across - reach) / side); x <= Math.floor((across + reach) / side); x++) {
      for (let y = Math.floor((up - reach) / side); y <= Math.floor((up + reach) / side); y++) {
        found.push(...(squares.get(`${x},${y}`) ?? []));
      }
    }
    return found;
  };
}
