import { median } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import type { OpenSurvey } from './kept-photos.js';
import { tubesOf } from './surveyed-sheet.js';

/** The even shot as soon as its cells are found, long before their light is measured. N tubes, reading order. */
export interface FirstLook {
  /** The even shot, reduced; linear light. */
  readonly picture: Plane;
  /** Middles of the tubes, pixels of the picture. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly pitchPx: number;
  /**
   * Light in the middle of each spot above that between the spots, over the median of all tubes. The sheet's and the even
   * light's own trend is still in it.
   */
  readonly light: Float64Array;
}

/** A first look at the even shot; null before there is one. */
export function firstLook({ even }: OpenSurvey): FirstLook | null {
  if (!even) return null;
  const { first, look, picture } = even.found;
  const tubes = tubesOf(first);
  const above = look.spot.map((spot, k) => spot - look.gap[k]);
  const typical = median(above);
  return {
    picture: { width: picture.width, height: picture.height, data: picture.data },
    x: Float64Array.from(tubes, (k) => first.cells.x[k]),
    y: Float64Array.from(tubes, (k) => first.cells.y[k]),
    pitchPx: first.cells.pitchPx,
    light: above.map((value) => value / typical),
  };
}
