import { type ArrayGeometry, latticePlace } from '@twolamp/optics';
import type { CellLight } from '../cell-light.js';

/** Below this relative transmission a cell says nothing of the lamps: its noise is all that is left. */
export const LEAST_TRANSMISSION = 0.1;

/** Places of all cells in pitches from the array's middle, across to the right and up; N values each. */
export interface CellPlaces {
  readonly across: Float64Array;
  readonly up: Float64Array;
}

/** Light of a shot as typical tubes would have given it: flux over relative transmission. */
export interface ShotView {
  /** Index of each usable cell, M of them. */
  readonly cells: Int32Array;
  /** Places in pitches, M each. */
  readonly across: Float64Array;
  readonly up: Float64Array;
  /** Flux ÷ transmission, M. */
  readonly light: Float64Array;
  /** Standard uncertainty of `light` from the photo's noise, M. */
  readonly noise: Float64Array;
  /** Relative standard uncertainty of the transmission, M: the same error in every shot. */
  readonly transmissionError: Float64Array;
}

/** Relative transmission of every cell; NaN where unknown. */
export interface RelativeTransmission {
  readonly relative: Float64Array;
  readonly sigma: Float64Array;
}

export function cellPlaces(array: ArrayGeometry): CellPlaces {
  const across = new Float64Array(array.rows * array.columns);
  const up = new Float64Array(across.length);
  for (let index = 0; index < across.length; index++) {
    const place = latticePlace(array, Math.floor(index / array.columns) + 1, (index % array.columns) + 1);
    across[index] = place.across;
    up[index] = place.up;
  }
  return { across, up };
}

/** The cells of one shot that can be trusted: light and transmission known, not clipped, not blocked. */
export function viewShot(places: CellPlaces, light: CellLight, transmission: RelativeTransmission): ShotView {
  const usable: number[] = [];
  for (let index = 0; index < light.flux.length; index++) {
    const known = Number.isFinite(light.flux[index]) && light.sigma[index]! > 0;
    if (known && light.clipped[index] === 0 && transmission.relative[index]! >= LEAST_TRANSMISSION) {
      usable.push(index);
    }
  }
  const pick = (value: (index: number) => number) => Float64Array.from(usable, value);
  return {
    cells: Int32Array.from(usable),
    across: pick((index) => places.across[index]!),
    up: pick((index) => places.up[index]!),
    light: pick((index) => light.flux[index]! / transmission.relative[index]!),
    noise: pick((index) => light.sigma[index]! / transmission.relative[index]!),
    transmissionError: pick((index) => (transmission.sigma[index] || 0) / transmission.relative[index]!),
  };
}

/** The part of a view within `radius` pitches of any of the places. */
export function nearPlaces(
  view: ShotView,
  places: readonly { readonly across: number; readonly up: number }[],
  radius: number,
): ShotView {
  const kept = Array.from(view.cells.keys()).filter((index) =>
    places.some(({ across, up }) => Math.hypot(view.across[index]! - across, view.up[index]! - up) <= radius),
  );
  const pick = (values: Float64Array) => Float64Array.from(kept, (index) => values[index]!);
  return {
    cells: Int32Array.from(kept, (index) => view.cells[index]!),
    across: pick(view.across),
    up: pick(view.up),
    light: pick(view.light),
    noise: pick(view.noise),
    transmissionError: pick(view.transmissionError),
  };
}
