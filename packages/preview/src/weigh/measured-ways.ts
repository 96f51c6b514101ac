import { axisSpacingMm, tubeAxis, tubeLayout } from '@twolamp/optics';
import { madScale, NORMAL_95 } from '@twolamp/numeric';
import type { Result, Way } from '@twolamp/session';

const DEG_PER_RAD = 180 / Math.PI;
/** Tubes whose directions are measured that are needed to speak of all. */
const LEAST_TUBES = 3;

type Resolving = NonNullable<Way['resolvingM']>;

/** The resolving distance as measured; null where it is doubtful. */
export function resolvingNow({ resolving }: Result): Resolving | null {
  if (resolving === null || resolving.doubtful) return null;
  const { distanceM, lowM, highM, bound } = resolving;
  return { value: distanceM, low: lowM, high: highM, basis: 'measured', bound };
}

/** The same, of an array whose new tubes are like its healthy ones: finishing doesn't make it finer. */
export function asPredicted(resolving: Resolving | null): Resolving | null {
  return resolving && { ...resolving, basis: 'predicted' };
}

/**
 * The resolving distance once the pull list is replaced, by the result's own computation.
 *
 * @returns as measured where the result has none
 */
export function resolvingMended(result: Result): Resolving | null {
  const now = resolvingNow(result);
  const all = result.repairs?.at(-1);
  if (now === null || all === undefined || all.fartherM === null) return asPredicted(now);
  const { fartherM } = all;
  const uncertainty = all.fartherUncertaintyM ?? 0;
  const end = (at: number | null, sign: number): number | null =>
    at === null ? null : now.value + fartherM + sign * Math.hypot(at - now.value, NORMAL_95 * uncertainty);
  return {
    value: now.value + fartherM,
    low: end(now.low, -1),
    high: end(now.high, 1),
    basis: 'predicted',
    bound: 'within',
  };
}

/** Straight line by least squares, with the standard uncertainty of its slope. */
function lineThrough(x: readonly number[], y: readonly number[]): { slope: number; uncertainty: number } {
  const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const [middleX, middleY] = [mean(x), mean(y)];
  const square = x.reduce((sum, value) => sum + (value - middleX) ** 2, 0);
  const slope = x.reduce((sum, value, n) => sum + (value - middleX) * (y[n] - middleY), 0) / square;
  const left = y.map((value, n) => value - middleY - slope * (x[n] - middleX));
  return { slope, uncertainty: madScale(left) / Math.sqrt(square) };
}

/**
 * Scatter of the healthy tubes' directions along one axis, deg, less what the measurement itself scatters; null where they
 * were not measured.
 */
export function pointingScatterDeg({ cells }: Result): number | null {
  // The square of a distance from the middle has twice the variance along one axis as its mean.
  const squares = cells.flatMap(({ fault, pointing }) =>
    fault === 'none' && pointing?.errorDeg != null
      ? [pointing.errorDeg ** 2 / 2 - (pointing.uncertaintyDeg ?? 0) ** 2]
      : [],
  );
  if (squares.length < LEAST_TUBES) return null;
  return Math.sqrt(Math.max(0, squares.reduce((sum, square) => sum + square, 0) / squares.length));
}

/**
 * Angle between the views of the outermost tubes, by the measured directions where there are any, else by the stated
 * geometry.
 */
export function fieldOf(result: Result): Way['fieldDeg'] {
  const { array } = result;
  const tubes = result.cells.filter(({ state }) => state === 'filled');
  const layout = tubeLayout(array);
  const angles = (axis: 'across' | 'up') => {
    const span = rangeOf(layout[axis]);
    const measured = tubes.flatMap(({ pointing, fault }, n) =>
      pointing && fault === 'none'
        ? [{ place: layout[axis][n], slope: Math.tan(pointing[`${axis}Deg`] / DEG_PER_RAD) }]
        : [],
    );
    const stated = tubeSlope(array);
    const fan =
      measured.length < LEAST_TUBES
        ? stated
        : lineThrough(
            measured.map((one) => one.place),
            measured.map((one) => one.slope),
          ).slope;
    return 2 * Math.atan((fan * (span.most - span.least)) / 2) * DEG_PER_RAD;
  };
  const scatter = pointingScatterDeg(result);
  return {
    across: angles('across'),
    up: angles('up'),
    uncertainty: scatter,
    basis: scatter === null ? 'predicted' : 'measured',
  };
}

/** Slope by which neighbouring tubes look apart, as stated. */
function tubeSlope(array: Result['array']): number {
  return (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm;
}

export function rangeOf(values: Float64Array): { readonly least: number; readonly most: number } {
  return {
    least: values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY),
    most: values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY),
  };
}

/** Tubes that look at a subject's width, side by side: its width over the distance between the tubes' axes there. */
export function cellsAcross(
  result: Result,
  subject: { readonly widthMm: number; readonly distanceMm: number } | null,
  columns: number,
): Way['cellsAcrossSubject'] {
  if (subject === null) return null;
  const { array } = result;
  const layout = tubeLayout(array);
  const tubes = result.cells.filter(({ state }) => state === 'filled');
  const known = tubes.flatMap(({ pointing, fault }, n) =>
    pointing && fault === 'none'
      ? [
          {
            place: layout.across[n],
            off: Math.tan(pointing.acrossDeg / DEG_PER_RAD) - tubeAxis(array, n).across,
          },
        ]
      : [],
  );
  const measured = known.length >= LEAST_TUBES;
  const off = measured
    ? lineThrough(
        known.map((one) => one.place),
        known.map((one) => one.off),
      )
    : { slope: 0, uncertainty: 0 };
  const apartMm = axisSpacingMm(array, subject.distanceMm) + subject.distanceMm * off.slope;
  const value = subject.widthMm / apartMm;
  const uncertainty = (value * subject.distanceMm * off.uncertainty) / apartMm;
  return {
    // A subject wider than the picture takes all columns, for certain.
    value: Math.min(value, columns),
    uncertainty: value > columns ? 0 : measured ? uncertainty : null,
    basis: measured ? 'measured' : 'predicted',
  };
}
