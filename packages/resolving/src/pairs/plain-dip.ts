import { type ArrayGeometry, angularPitch, type Random } from '@twolamp/optics';
import { median, NormalEquations } from '@twolamp/numeric';
import { Matrix, solve } from 'ml-matrix';
import { nearFactor } from '../response/align-views.js';
import type { ArrayResponse } from '../response/array-response.js';
import { valueAt } from '../response/radial-spline.js';
import type { MeasuredPair } from './measure-pair.js';
import { PLAIN } from './tuning.js';

/** A dip read off the cells' light, pair shots of one distance and their nudges taken together. */
export interface PlainDip {
  readonly distanceM: number;
  readonly spacingM: number;
  readonly photos: readonly string[];
  readonly dip: number;
  readonly uncertainty: number;
  /** Mean of what the model gives for the same photos. */
  readonly modelDip: number;
}

/**
 * One cell's light in one shot, at its place along the lamps' line and across it, in pitches from their middle; the tube's
 * own direction and gain, as all shots tell them, are taken out.
 */
interface Reading {
  readonly tube: number;
  readonly along: number;
  readonly aside: number;
  readonly light: number;
  /** The same by the model. */
  readonly model: number;
}

/** A pair shot with its place among the response's views. */
export interface PlacedPair {
  readonly pair: MeasuredPair;
  readonly view: number;
}

const MM_PER_M = 1000;
/** Tolerances: cells farther off the lamps' line, with less weight, or of tubes that no direction and gain fit say nothing. */
const REACH_PITCHES = 2.5;
const LEAST_WEIGHT = 1e-3;
const LEAST_TUBE_WEIGHT = 0.5;
const LEAST_READINGS = 6;
/** Holds a plane through cells that nearly lie in one line. */
const RIDGE = 1e-3;
/** Places from the middle to beyond an image. */
const STEPS = 12;
/** Draws: a standard deviation is then known to a ninth. */
const DRAWS = 40;
/** A tube is hardly ever drawn more often than this (Poisson, mean 1: one in 10⁷). */
const MOST_DRAWN = 10;

function readingsOf(array: ArrayGeometry, response: ArrayResponse, { pair, view: n }: PlacedPair): Reading[] {
  const view = response.views[n];
  const fit = response.fits[n];
  const [one, other] = view.lamps;
  if (!one || !other) return [];
  const turned = (pair.shot.turnedDeg * Math.PI) / 180;
  const [cosine, sine] = [Math.cos(turned), Math.sin(turned)];
  const pitch = angularPitch(array, pair.shot.distanceMm) / nearFactor(view, response.alignment);
  const { pointing, gain, weight } = response.tubes;
  const readings: Reading[] = [];
  for (let tube = 0; tube < view.usable.length; tube++) {
    if (!view.usable[tube] || weight[tube] < LEAST_TUBE_WEIGHT) continue;
    const off = (slopes: Float64Array, axis: 0 | 1) =>
      slopes[2 * tube + axis] - fit.shift[axis] - pointing[2 * tube + axis];
    const [x1, y1] = [off(one.slopes, 0), off(one.slopes, 1)];
    const [x2, y2] = [off(other.slopes, 0), off(other.slopes, 1)];
    const [x, y] = [(x1 + x2) / 2, (y1 + y2) / 2];
    const [along, aside] = [(cosine * x + sine * y) / pitch, (cosine * y - sine * x) / pitch];
    if (Math.abs(aside) > REACH_PITCHES) continue;
    const falloff = (one.falloff[tube] + other.falloff[tube]) / 2;
    readings.push({
      tube,
      along,
      aside,
      light: (view.light[tube] - fit.background) / (fit.amplitude * falloff * gain[tube]),
      model: valueAt(fit.spline, Math.hypot(x1, y1)) + valueAt(fit.spline, Math.hypot(x2, y2)),
    });
  }
  return readings;
}

/** The readings about one place on the line, with their weights in a local linear regression there. */
interface Around {
  readonly readings: readonly Reading[];
  /** Distances along the line and across it in widths of the regression, one pair a reading. */
  readonly terms: Float64Array;
  readonly nearness: Float64Array;
}

function readingsAround(readings: readonly Reading[], place: number, width: number): Around {
  const near: Reading[] = [];
  const terms: number[] = [];
  const nearness: number[] = [];
  for (const reading of readings) {
    const [dx, dy] = [(reading.along - place) / width, reading.aside / width];
    const weight = Math.exp(-(dx * dx + dy * dy) / 2);
    if (weight < LEAST_WEIGHT / MOST_DRAWN) continue;
    near.push(reading);
    terms.push(dx, dy);
    nearness.push(weight);
  }
  return { readings: near, terms: Float64Array.from(terms), nearness: Float64Array.from(nearness) };
}

/** Light at a place by the plane through the readings about it, measured and by the model; null with too few. */
function planeAt({ readings, terms, nearness }: Around, counts: ArrayLike<number>) {
  const equations = new NormalEquations(3);
  const [row, side] = [Float64Array.of(1, 0, 0), new Float64Array(3)];
  let used = 0;
  for (let n = 0; n < readings.length; n++) {
    const weight = counts[readings[n].tube] * nearness[n];
    if (weight < LEAST_WEIGHT) continue;
    used++;
    row[1] = terms[2 * n];
    row[2] = terms[2 * n + 1];
    equations.add(row, weight, readings[n].light);
    for (let m = 0; m < 3; m++) side[m] += weight * row[m] * readings[n].model;
  }
  if (used < LEAST_READINGS) return null;
  for (let m = 0; m < 3; m++) equations.addPrior(m, RIDGE);
  const top = solve(equations.matrix(), Matrix.columnVector([1, 0, 0])).to1DArray();
  const heightOf = (sums: Float64Array) => top[0] * sums[0] + top[1] * sums[1] + top[2] * sums[2];
  return { light: heightOf(equations.side), model: heightOf(side) };
}

/** Dip of the light along the line, and that of the model read in the same way; null where cells are too few. */
function readDip(around: readonly Around[], counts: ArrayLike<number>) {
  const profile = around.map((one) => planeAt(one, counts));
  if (profile.some((one) => one === null)) return null;
  const dipOf = (key: 'light' | 'model'): number => {
    const values = profile.map((one) => one![key]);
    const left = Math.max(...values.slice(0, STEPS + 1));
    const right = Math.max(...values.slice(STEPS));
    const inner = values.slice(values.indexOf(left), values.lastIndexOf(right) + 1);
    return 1 - Math.min(...inner, left, right) / Math.min(left, right);
  };
  return { light: dipOf('light'), model: dipOf('model') };
}

/**
 * Dips read off the light of the cells themselves, beside the model's: all pair shots of one distance and direction laid
 * over each other, and the light along the lamps' line read by local linear regression. Smoothing over coarse cells makes
 * dips flatter. The same reading of the model's light in these cells shows by how much.
 *
 * @param pairs - that were read
 * @returns one a distance, spacing and direction; those with too few cells are left out
 * Source: control variates (Hammersley & Handscomb, Monte Carlo Methods, 1964, chapter 5) for the smoothing.
 */
export function plainDips(
  array: ArrayGeometry,
  response: ArrayResponse,
  pairs: readonly PlacedPair[],
  random: Random,
): PlainDip[] {
  const groups = new Map<string, PlacedPair[]>();
  for (const one of pairs) {
    const { distanceMm, spacingMm, turnedDeg } = one.pair.shot;
    const key = `${distanceMm} ${spacingMm} ${turnedDeg}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const tubes = response.views[0].usable.length;
  const draws = Array.from({ length: DRAWS }, () =>
    Float64Array.from({ length: tubes }, () => random.poisson(1)),
  );
  return [...groups.values()].flatMap((group) => {
    const readings = group.flatMap((one) => readingsOf(array, response, one));
    const [{ pair }] = group;
    const width = PLAIN.widthPitches / group.length ** (1 / 3);
    const apart = group.flatMap((one) => one.pair.separationCells ?? []);
    if (apart.length === 0) return [];
    const halfApart = median(apart) / 2;
    const around = Array.from({ length: 2 * STEPS + 1 }, (_, n) =>
      readingsAround(readings, (1.3 * halfApart * (n - STEPS)) / STEPS, width),
    );
    const read = readDip(around, new Float64Array(tubes).fill(1));
    if (!read) return [];
    const modelDip = group.reduce((sum, one) => sum + one.pair.meanDip / group.length, 0);
    const dipOf = (one: NonNullable<typeof read>) => one.light - one.model + modelDip;
    const drawn = draws.flatMap((counts) => {
      const again = readDip(around, counts);
      return again ? [dipOf(again)] : [];
    });
    if (drawn.length < DRAWS / 2) return [];
    const mean = drawn.reduce((sum, value) => sum + value / drawn.length, 0);
    const scatter = Math.sqrt(drawn.reduce((sum, value) => sum + (value - mean) ** 2 / drawn.length, 0));
    return [
      {
        distanceM: pair.shot.distanceMm / MM_PER_M,
        spacingM: pair.shot.spacingMm / MM_PER_M,
        photos: group.map((one) => one.pair.shot.photo),
        dip: Math.max(0, dipOf(read)),
        uncertainty: Math.hypot(scatter, PLAIN.ownError),
        modelDip: group.reduce((sum, one) => sum + one.pair.dip / group.length, 0),
      },
    ];
  });
}

/** Where a plain curve through dips crosses a required one. */
export interface PlainCrossing {
  readonly distanceM: number;
  readonly uncertaintyM: number;
}

/** A parabola in the logarithm of the distance (a straight line through three), by least squares. */
function curveThrough(dips: readonly PlainDip[]): (distanceM: number) => number {
  const terms = dips.length > 3 ? 3 : 2;
  const row = (distanceM: number) => [1, Math.log(distanceM), Math.log(distanceM) ** 2].slice(0, terms);
  const rows = new Matrix(
    dips.map(({ distanceM, uncertainty }) => row(distanceM).map((t) => t / uncertainty)),
  );
  const values = Matrix.columnVector(dips.map(({ dip, uncertainty }) => dip / uncertainty));
  const found = solve(rows, values, true).to1DArray();
  return (distanceM) => row(distanceM).reduce((sum, term, n) => sum + term * found[n], 0);
}

/**
 * Where a plain curve through the dips that lie about the required one crosses it.
 *
 * @returns null where it doesn't within the distances shot, or fewer than three dips lie there
 */
export function plainCrossing(
  dips: readonly PlainDip[],
  required: number,
  random: Random,
): PlainCrossing | null {
  // Where lamps have merged or are wide apart the dip is level, which no parabola follows.
  const near = dips.filter(({ dip }) => dip > PLAIN.mergedShare * required && dip < PLAIN.widestDip);
  if (new Set(near.map(({ distanceM }) => distanceM)).size < 3) return null;
  const distances = near.map(({ distanceM }) => distanceM);
  const [low, high] = [Math.min(...distances), Math.max(...distances)];
  const crossing = (curve: (distanceM: number) => number): number | null => {
    const places = Array.from(
      { length: 101 },
      (_, n) => low * 1.1 ** -1 + ((high * 1.1 - low / 1.1) * n) / 100,
    );
    const at = places.findIndex(
      (place, n) => n > 0 && curve(places[n - 1]) >= required && curve(place) < required,
    );
    return at < 0 ? null : (places[at - 1] + places[at]) / 2;
  };
  const found = crossing(curveThrough(near));
  if (found === null) return null;
  const drawn = Array.from({ length: DRAWS }, () =>
    crossing(curveThrough(near.map((one) => ({ ...one, dip: one.dip + one.uncertainty * random.normal() })))),
  ).filter((value) => value !== null);
  if (drawn.length < DRAWS / 2) return null;
  const scatter = Math.sqrt(drawn.reduce((sum, value) => sum + (value - found) ** 2 / drawn.length, 0));
  return { distanceM: found, uncertaintyM: scatter };
}
