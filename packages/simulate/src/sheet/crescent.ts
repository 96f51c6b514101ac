import type { Place } from '@twolamp/optics';
import { errorFunction } from 'simple-statistics';

/**
 * Light of a slanting beam that came straight through a tube: it fills what the bore and the beam's own circle have in
 * common, a lens or crescent on one side of the spot.
 */
export interface Crescent {
  /** lx·mm² */
  readonly light: number;
  /** Middle of the beam's circle against the middle of the bore, at the sheet. */
  readonly shift: Place;
}

/** Brightness of a blurred crescent, one quarter of it: the others are its mirror images. */
export interface CrescentImage {
  /** Share of the light per mm²: `columns` values along the shift, rows aside of it, from the middle outwards. */
  readonly values: Float64Array;
  readonly columns: number;
  readonly rows: number;
  readonly stepMm: number;
}

const REACH_SIGMAS = 5;
/** Farthest shift that leaves a crescent to speak of, radii. */
const MOST_SHIFT = 1.99;
/** Strips and nodes this far apart, in standard deviations of the blur, sum it up, and leave 0.2 % between them. */
const STEP_SIGMAS = 0.2;

/**
 * Common area of two equal circles, evenly lit, seen through a Gaussian blur.
 *
 * @param radiusMm - of the circles
 * @param sigmaMm - standard deviation of the blur, above 0
 * @returns image by the shift from middle to middle, 0 or more, rounded to a tenth of the blur; circles that no longer
 *   touch give the last thin crescent
 */
export function crescentImages(radiusMm: number, sigmaMm: number): (shiftMm: number) => CrescentImage {
  const images = new Map<number, CrescentImage>();
  const tenth = sigmaMm / 10;
  return (shiftMm) => {
    const tenths = Math.round(shiftMm / tenth);
    const known = images.get(tenths);
    if (known) return known;
    const image = crescentImage(radiusMm, sigmaMm, Math.min(tenths * tenth, MOST_SHIFT * radiusMm));
    images.set(tenths, image);
    return image;
  };
}

function crescentImage(radiusMm: number, sigmaMm: number, shiftMm: number): CrescentImage {
  const stepMm = STEP_SIGMAS * sigmaMm;
  const tipMm = Math.sqrt(radiusMm ** 2 - (shiftMm / 2) ** 2);
  const nodes = (halfMm: number) => Math.ceil((halfMm + REACH_SIGMAS * sigmaMm) / stepMm) + 1;
  const columns = nodes(radiusMm - shiftMm / 2);
  const rows = nodes(tipMm);
  const values = new Float64Array(columns * rows);
  const strips = Math.ceil((2 * tipMm) / stepMm);
  const along = new Float64Array(columns);
  const blur = sigmaMm * Math.SQRT2;
  for (let strip = 0; strip < strips; strip++) {
    // Strips by equal steps of the angle, so that their length vanishes smoothly at the tips.
    const angle = (Math.PI * (strip + 0.5)) / strips;
    const aside = tipMm * Math.cos(angle);
    const half = Math.sqrt(radiusMm ** 2 - aside ** 2) - shiftMm / 2;
    const width = tipMm * Math.sin(angle) * (Math.PI / strips);
    for (let column = 0; column < columns; column++) {
      const x = column * stepMm;
      along[column] = width * (errorFunction((half - x) / blur) + errorFunction((half + x) / blur));
    }
    for (let row = 0; row < rows; row++) {
      const weight = Math.exp(-0.5 * ((row * stepMm - aside) / sigmaMm) ** 2);
      if (weight < 1e-6) continue;
      for (let column = 0; column < columns; column++)
        values[row * columns + column] += weight * along[column];
    }
  }
  const sum = values.reduce((all, value, i) => {
    const quarters = (i % columns === 0 ? 1 : 2) * (i < columns ? 1 : 2);
    return all + quarters * value;
  }, 0);
  return { values: values.map((value) => value / (sum * stepMm ** 2)), columns, rows, stepMm };
}

/**
 * Share of a crescent's light per mm².
 *
 * @param alongMm - from its own middle along the shift
 * @param asideMm - across the shift
 */
export function crescentAt(
  { values, columns, rows, stepMm }: CrescentImage,
  alongMm: number,
  asideMm: number,
): number {
  const x = Math.abs(alongMm) / stepMm;
  const y = Math.abs(asideMm) / stepMm;
  const column = Math.floor(x);
  const row = Math.floor(y);
  if (column >= columns - 1 || row >= rows - 1) return 0;
  const at = row * columns + column;
  const near = values[at] + (x - column) * (values[at + 1] - values[at]);
  const far = values[at + columns] + (x - column) * (values[at + columns + 1] - values[at + columns]);
  return near + (y - row) * (far - near);
}
