import { madScale, solveCholesky } from '@twolamp/numeric';
import type { Reading } from './readings.js';
import type { StatedPlace, Statement } from './statement.js';
import { SCORE, SPOTS } from './tuning.js';

/** What one photo can be held against. */
const QUANTITIES = ['place', 'apart', 'light', 'width'] as const;
type Quantity = (typeof QUANTITIES)[number];

/** How much each quantity scatters against what its stated uncertainties allow for. */
export type Scatter = Readonly<Record<Quantity, number>>;
export const AS_STATED: Scatter = { place: 1, apart: 1, light: 1, width: 1 };

/** What holds whatever is stated. */
export interface Circumstances {
  /** Whether brightness may be compared from photo to photo. */
  readonly light: boolean;
  /** How much wider or narrower than seen the lattice may be about its middle, relative. */
  readonly stretchSigma: number;
}

/** How well a statement fits the photos. */
export interface Score {
  /** −2 log likelihood up to a constant, in Student's t and with what is known beforehand of the adjustments. */
  readonly cost: number;
  /** Part of it that each shot causes. */
  readonly byShot: Float64Array;
  /** Residuals in standard uncertainties by quantity; for the scatter. */
  readonly residuals: Readonly<Record<Quantity, readonly number[]>>;
}

/** What is adjusted in every statement, since no tape measure is exact. */
const ADJUSTED = {
  /** Relative. */
  front: 0,
  back: 1,
  length: 2,
  /** Where the array looks, slopes. */
  aimAcross: 3,
  aimUp: 4,
  /** Its middle, pitches. */
  middleAcross: 5,
  middleUp: 6,
  /** How much wider the lattice is about the middle than a photo can tell, relative. */
  stretch: 7,
  /** By how much separations of merging images come out wrong, relative. */
  apart: 8,
  /** Logarithms: brightness of single lamps, of the pairs', width of an image. */
  lampLight: 9,
  pairLight: 10,
  width: 11,
  /** Power of the distance by which images grow beside what geometry asks for, and the usual one: black tubes see near lamps wider. */
  widthTrend: 12,
  /** Logarithm of light lost by lamps aside, a slope²: lamps shine less aside, and images at the rim are read worse. */
  lightAside: 13,
  /** The same of separations, with the logarithm of the distance: merged images come out otherwise than parted ones. */
  apartTrend: 14,
  /** How much too far from the middle images are read that are as wide as the array, relative, and times the excess of their width. */
  wideReach: 15,
} as const;
const COUNT = 16;
/** Prior uncertainty of a parameter without a prior. */
const FREE = 1e6;
/** Distances count from here where a power of them is meant. */
const MIDDLING_MM = 2000;
/** Equations that one shot can give: place and separation along two axes, light, width. */
const MOST_EACH = 6;

function priorsOf(stretchSigma: number): number[] {
  const { dimension, aim, middle, apart } = SCORE;
  const stretch = Math.hypot(SCORE.stretch, stretchSigma);
  return [
    dimension,
    dimension,
    dimension,
    aim,
    aim,
    middle,
    middle,
    stretch,
    apart,
    FREE,
    FREE,
    FREE,
    SCORE.widthTrend,
    SCORE.lightAside,
    SCORE.apartTrend,
    SCORE.wideReach,
  ];
}

/** Adjustments that one equation holds at most. */
const MOST_TERMS = 7;

/** Linear equations miss = Σ slope · adjustment, one a row, of few terms each. */
class Equations {
  count = 0;
  readonly shot: Int32Array;
  readonly quantity: Uint8Array;
  readonly miss: Float64Array;
  readonly sigma: Float64Array;
  /** Terms of a row: row · MOST_TERMS and on, `terms[row]` of them. */
  readonly terms: Uint8Array;
  readonly adjusted: Uint8Array;
  readonly slope: Float64Array;

  constructor(most: number) {
    this.shot = new Int32Array(most);
    this.quantity = new Uint8Array(most);
    this.miss = new Float64Array(most);
    this.sigma = new Float64Array(most);
    this.terms = new Uint8Array(most);
    this.adjusted = new Uint8Array(most * MOST_TERMS);
    this.slope = new Float64Array(most * MOST_TERMS);
  }

  /** Adds a row without terms. */
  add(shot: number, quantity: Quantity, miss: number, sigma: number): void {
    const row = this.count++;
    this.shot[row] = shot;
    this.quantity[row] = QUANTITIES.indexOf(quantity);
    this.miss[row] = miss;
    this.sigma[row] = sigma;
  }

  /** Adds a term to the last row. */
  by(adjusted: number, slope: number): void {
    const row = this.count - 1;
    const at = row * MOST_TERMS + this.terms[row]++;
    this.adjusted[at] = adjusted;
    this.slope[at] = slope;
  }

  residual(row: number, x: ArrayLike<number>): number {
    let miss = this.miss[row];
    const from = row * MOST_TERMS;
    for (let at = from; at < from + this.terms[row]; at++) miss -= this.slope[at] * x[this.adjusted[at]];
    return miss / this.sigma[row];
  }
}

/** The scatter of shots that the others say little of: it isn't less than stated because that of the others is. */
function notLess(scatter: Scatter): Scatter {
  const of = (quantity: Quantity) => Math.max(1, scatter[quantity]);
  return { place: of('place'), apart: of('apart'), light: of('light'), width: of('width') };
}

function equationsOf(
  { array, places }: Statement,
  readings: readonly Reading[],
  light: boolean,
  all: Scatter,
): Equations {
  const { frontPitchMm: front, backPitchMm: back, tubeLengthMm: length } = array;
  const fan = (front - back) / length;
  const equations = new Equations(MOST_EACH * readings.length);
  for (let shot = 0; shot < readings.length; shot++) {
    const { spots, exposed } = readings[shot]!;
    const place = places[shot];
    if (!spots || !place) continue;
    const isUsual = spots.widthShare < SPOTS.wideShare && spots.leaning < SCORE.mostLeaning;
    const scatter = isUsual ? all : notLess(all);
    const { acrossMm, upMm, distanceMm } = place;
    const pitch = front + fan * distanceMm;
    const farther = Math.log(distanceMm / MIDDLING_MM);
    const widening = SCORE.usualWidthTrend * farther;
    const distanceShare = (fan * Math.hypot(SCORE.distanceMm, SCORE.distanceShare * distanceMm)) / pitch;
    /** A place or separation, stated pitches from 0, changes with the dimensions as the pitch in the lamps' plane does. */
    const addLength = (quantity: 'place' | 'apart', seen: number, stated: number, sigma: number): void => {
      equations.add(shot, quantity, seen - stated, sigma * scatter[quantity]);
      equations.by(ADJUSTED.front, (-stated * (front + (distanceMm * front) / length)) / pitch);
      equations.by(ADJUSTED.back, (stated * distanceMm * back) / length / pitch);
      equations.by(ADJUSTED.length, (stated * distanceMm * fan) / pitch);
      equations.by(ADJUSTED.stretch, -stated);
    };
    const tape = Math.hypot(SCORE.placeMm, SCORE.placeShare * distanceMm) / pitch;
    const wide = Math.max(0, spots.widthShare - SCORE.wideFrom);
    // An image narrower than a cell rests on the few tubes that happen to see it, and faulty tubes among them leave some
    // of the light unexplained.
    const few =
      Math.max(1, Math.exp(-2 * spots.widthLn)) *
      Math.max(1, (1 - spots.explained) / SCORE.usuallyUnexplained);
    const placeSigma = (stated: number) =>
      Math.hypot(spots.placeSigma, tape, stated * distanceShare, SCORE.placePitches * few);
    const across = acrossMm / pitch;
    addLength('place', spots.across, across, placeSigma(across));
    equations.by(ADJUSTED.wideReach, wide * across);
    equations.by(ADJUSTED.aimAcross, distanceMm / pitch);
    equations.by(ADJUSTED.middleAcross, 1);
    const up = upMm / pitch;
    addLength('place', spots.up, up, placeSigma(up));
    equations.by(ADJUSTED.wideReach, wide * up);
    equations.by(ADJUSTED.aimUp, distanceMm / pitch);
    equations.by(ADJUSTED.middleUp, 1);
    if (place.kind === 'pair' && spots.apart) {
      const { seen, stated, sigma } = separation(place, pitch, spots.apart, distanceShare, few);
      for (const axis of [0, 1] as const) {
        addLength('apart', seen[axis], stated[axis], sigma);
        equations.by(ADJUSTED.apart, stated[axis]);
        equations.by(ADJUSTED.wideReach, wide * stated[axis]);
        equations.by(ADJUSTED.apartTrend, stated[axis] * farther);
      }
    }
    if (light && exposed) {
      const slope = Math.hypot(acrossMm, upMm) / distanceMm;
      const usual =
        2 * Math.log(distanceMm) + 1.5 * Math.log1p(slope * slope) + 2 * widening - place.exposureLn;
      const sigma = Math.hypot(spots.peakLnSigma, SCORE.lightLn * few, (2 * SCORE.distanceMm) / distanceMm);
      equations.add(shot, 'light', spots.peakLn + usual, sigma * scatter.light);
      equations.by(place.kind === 'lamp' ? ADJUSTED.lampLight : ADJUSTED.pairLight, 1);
      equations.by(ADJUSTED.lightAside, -slope * slope);
      // An image that is seen wider holds the same light: its middle is darker by as much as its area is larger.
      equations.by(ADJUSTED.widthTrend, -2 * farther);
    }
    const width = Math.hypot(spots.widthLnSigma, SCORE.widthLn * few);
    equations.add(
      shot,
      'width',
      spots.widthLn + Math.log(fan + front / distanceMm) - widening,
      width * scatter.width,
    );
    equations.by(ADJUSTED.width, 1);
    equations.by(ADJUSTED.widthTrend, farther);
  }
  return equations;
}

/** A pair's separation, as seen with the sign that the stated one has, along both axes. */
function separation(
  place: StatedPlace,
  pitch: number,
  apart: { readonly across: number; readonly up: number; readonly sigma: number },
  distanceShare: number,
  few: number,
) {
  const turned = (place.turnedDeg * Math.PI) / 180;
  const pitches = place.spacingMm / pitch;
  const stated = [pitches * Math.cos(turned), pitches * Math.sin(turned)] as const;
  const sign = apart.across * stated[0] + apart.up * stated[1] < 0 ? -1 : 1;
  const share = Math.hypot(SCORE.spacingMm / place.spacingMm, distanceShare);
  return {
    seen: [sign * apart.across, sign * apart.up] as const,
    stated,
    sigma: Math.hypot(apart.sigma, SCORE.apartPitches * few, pitches * share),
  };
}

const FREEDOM = QUANTITIES.map((quantity) => SCORE.freedom[quantity]);

/** Student's t: gross errors count by their logarithm. */
function costOf(residual: number, freedom: number): number {
  return (freedom + 1) * Math.log1p(residual ** 2 / freedom);
}

/** How well a statement fits what the photos show, small errors of all dimensions and of the aim adjusted. */
export function scoreStatement(
  statement: Statement,
  readings: readonly Reading[],
  { light, stretchSigma }: Circumstances,
  scatter: Scatter,
  rounds: number = SCORE.rounds,
): Score {
  const equations = equationsOf(statement, readings, light, scatter);
  const priors = priorsOf(stretchSigma);
  const x = adjustmentsOf(equations, priors, rounds);
  const byShot = new Float64Array(readings.length);
  const residuals: Record<Quantity, number[]> = { place: [], apart: [], light: [], width: [] };
  for (let row = 0; row < equations.count; row++) {
    const value = equations.residual(row, x);
    const quantity = equations.quantity[row]!;
    byShot[equations.shot[row]!]! += costOf(value, FREEDOM[quantity]!);
    residuals[QUANTITIES[quantity]!].push(value);
  }
  // A shot without a place counts as one that fits as well as can be expected, so that leaving out wins nothing.
  readings.forEach(({ spots, shot, exposed }, n) => {
    if (!spots || statement.places[n]) return;
    const usual = (quantity: Quantity) => costOf(1, SCORE.freedom[quantity]);
    byShot[n] =
      2 * usual('place') +
      usual('width') +
      (shot.kind === 'pair' ? 2 * usual('apart') : 0) +
      (light && exposed ? usual('light') : 0);
  });
  const alike = ((x[ADJUSTED.pairLight] - x[ADJUSTED.lampLight]) / SCORE.alikeLn) ** 2;
  const held = x.reduce((sum, value, n) => sum + (priors[n] === FREE ? 0 : (value / priors[n]!) ** 2), alike);
  return { cost: byShot.reduce((sum, value) => sum + value, held), byShot, residuals };
}

/** Reweighted least squares: Student's t is a sum of squares whose weights fall with the residual. */
function adjustmentsOf(equations: Equations, priors: readonly number[], rounds: number): Float64Array {
  const { count, adjusted, slope, terms, quantity, sigma, miss } = equations;
  const { lampLight, pairLight } = ADJUSTED;
  let x = startOf(equations);
  const square = new Float64Array(COUNT * COUNT);
  for (let round = 0; round < rounds; round++) {
    square.fill(0);
    const side = new Float64Array(COUNT);
    for (let n = 0; n < COUNT; n++) square[n * COUNT + n] = 1 / priors[n]! ** 2;
    const alike = 1 / SCORE.alikeLn ** 2;
    square[lampLight * COUNT + lampLight] += alike;
    square[pairLight * COUNT + pairLight] += alike;
    square[pairLight * COUNT + lampLight] -= alike;
    for (let row = 0; row < count; row++) {
      const residual = equations.residual(row, x);
      const freedom = FREEDOM[quantity[row]]!;
      const weight = (freedom + 1) / (freedom + residual * residual) / sigma[row] ** 2;
      const from = row * MOST_TERMS;
      const to = from + terms[row];
      for (let r = from; r < to; r++) {
        const weighted = weight * slope[r];
        const line = adjusted[r] * COUNT;
        side[adjusted[r]] += weighted * miss[row];
        for (let c = from; c < to; c++) {
          if (adjusted[c] <= adjusted[r]) square[line + adjusted[c]] += weighted * slope[c];
        }
      }
    }
    // Priors keep it positive definite.
    solveCholesky(square, side);
    x = side;
  }
  return x;
}

/** Medians of what the free ones alone decide; all else as stated. */
function startOf({ count, adjusted, miss }: Equations): Float64Array {
  const x = new Float64Array(COUNT);
  for (const n of [ADJUSTED.lampLight, ADJUSTED.pairLight, ADJUSTED.width]) {
    const values: number[] = [];
    // Their own equations name them first.
    for (let row = 0; row < count; row++) if (adjusted[row * MOST_TERMS] === n) values.push(miss[row]);
    values.sort((a, b) => a - b);
    x[n] = values[values.length >> 1] ?? 0;
  }
  return x;
}

/**
 * The scatter that a score's residuals show, quantity by quantity. What is stated counts as so many residuals of its own: few
 * residuals show little of how they scatter.
 */
export function scatterOf({ residuals }: Score, scatter: Scatter): Scatter {
  const of = (quantity: Quantity) => {
    const values = residuals[quantity];
    const seen = values.length * (scatter[quantity] * madScale(values, 0)) ** 2;
    return Math.sqrt((SCORE.scatterPrior + (seen || 0)) / (SCORE.scatterPrior + values.length));
  };
  return { place: of('place'), apart: of('apart'), light: of('light'), width: of('width') };
}
