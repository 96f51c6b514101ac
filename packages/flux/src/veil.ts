import { blur } from '@twolamp/places';
import type { ReducedPhoto } from '@twolamp/session';
import { type CellsOnPicture, inUnit } from './cells-on-picture.js';
import { nearCells } from './region.js';
import { REACH } from './spot-profile.js';
import { reachedPixels } from './stamps.js';
import { LEAST_BARE_SHARE } from './tuning.js';

/** Tolerance. How far around the light between the spots is averaged: glare is smoother. */
const VEIL_PITCHES = 0.7;
/** Tolerance. Farther than this from all cells lies the array's outside: spots that the picture cuts off lie nearer. */
const OUTSIDE_PITCHES = 1.3;
/** The middle between four spots of a square lattice lies 0.71 pitches from each. */
const BETWEEN_PITCHES = 0.75;

/** Of smoothing: the second takes off what the first leaves of a curved background. */
const ROUNDS = 2;

/** Whether narrow spots fill the picture: then nothing outside the array shows wings and background apart. */
export function isVeiled(cells: CellsOnPicture, width: number, height: number): boolean {
  if (cells.unit >= 1) return false;
  const near = nearCells(cells, width, height);
  const reached = reachedPixels(inUnit(cells, OUTSIDE_PITCHES / REACH), width, height);
  let counted = 0;
  let outside = 0;
  for (let at = 0; at < near.length; at++) {
    counted += near[at];
    outside += near[at] & (1 - reached[at]);
  }
  return outside < LEAST_BARE_SHARE * counted;
}

/**
 * 1 for the pixels of the cells and between them. Spots that the session does not state, cut by the picture's edge, may
 * lie a pitch away from the outermost ones.
 */
export function betweenCells(cells: CellsOnPicture, width: number, height: number): Uint8Array {
  return reachedPixels(inUnit(cells, BETWEEN_PITCHES / REACH), width, height);
}

/**
 * The picture without the light that lies between its spots: glare, and what the sheet scatters, as smooth as it may be.
 *
 * Each pixel loses the mean of the pixels around that no spot reaches, weighted by a Gaussian (normalised convolution:
 * Knutsson and Westin, CVPR 1993, p. 515); then the same of what is left, since a mean cuts off hills (twicing: Tukey,
 * Exploratory Data Analysis, 1977, chapter 16). Glare that changes within two pitches stays.
 *
 * @param cells - with narrow spots
 */
export function withoutVeil(picture: ReducedPhoto, cells: CellsOnPicture): ReducedPhoto {
  const { width, height } = picture;
  const reached = reachedPixels(cells, width, height);
  const between = Float32Array.from(betweenCells(cells, width, height), (one, at) => one & (1 - reached[at]));
  const sigmaPx = VEIL_PITCHES * cells.pitchPx;
  const smooth = (values: Float32Array) => blur({ width, height, data: values }, sigmaPx).data;
  const share = smooth(between);
  let { data } = picture;
  for (let round = 0; round < ROUNDS; round++) {
    const light = smooth(data.map((value, at) => value * between[at]));
    data = data.map((value, at) => value - light[at] / Math.max(share[at], 1e-6));
  }
  return { ...picture, data };
}
