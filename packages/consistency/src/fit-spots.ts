import { median, NormalEquations, solveCholesky } from '@twolamp/numeric';
import { pseudoInverse } from 'ml-matrix';
import type { Profile } from './lamp-profile.js';
import { asReadable, halfSide } from './spot-certainty.js';
import type { CellsLit, FittedSpots, Spots } from './spots.js';
import { SPOTS } from './tuning.js';

/** Cells of one shot that take part in the fit, with the light around them and the weights. */
interface Field {
  readonly lit: CellsLit;
  readonly cells: readonly number[];
  readonly sigma: Float64Array;
  readonly floor: number;
  readonly peak: number;
  readonly brightest: number;
}

function smoothed({ light, usable, near }: CellsLit): Float64Array {
  return light.map((_, k) => {
    let [sum, count] = [0, 0];
    for (const n of near[k]!) {
      if (!usable[n]) continue;
      sum += light[n]!;
      count++;
    }
    return count > 1 ? sum / count : Number.NaN;
  });
}

/** Null where no light stands out. */
function fieldOf(lit: CellsLit): Field | null {
  const { across, up, light, noise, usable } = lit;
  const mean = smoothed(lit);
  const open = Array.from(light, (value, k) => (usable[k] ? value : Number.NaN));
  const floor = median(open);
  let brightest = -1;
  mean.forEach((value, k) => {
    if (value > (mean[brightest] ?? Number.NEGATIVE_INFINITY)) brightest = k;
  });
  if (brightest < 0) return null;
  const peak = mean[brightest]! - floor;
  if (!(peak > SPOTS.leastContrast * noise[brightest]!)) return null;
  const own = Array.from(mean.keys()).filter((k) => mean[k]! - floor > SPOTS.litShare * peak);
  const farthest = Math.max(
    ...own.map((k) => Math.hypot(across[k]! - across[brightest]!, up[k]! - up[brightest]!)),
  );
  const reach = Math.max(SPOTS.leastReach, SPOTS.reachShare * farthest);
  const cells = Array.from(light.keys()).filter(
    (k) => usable[k] && Math.hypot(across[k]! - across[brightest]!, up[k]! - up[brightest]!) <= reach,
  );
  const sigma = light.map((_, k) =>
    Math.hypot(
      noise[k]!,
      SPOTS.scatterShare * Math.max(0, (mean[k] || 0) - floor),
      SPOTS.scatterFloor * peak,
    ),
  );
  return { lit, cells, sigma, floor, peak, brightest };
}

interface Moments {
  readonly across: number;
  readonly up: number;
  /** Variance along the main axis and across it, and that axis. */
  readonly along: number;
  readonly aside: number;
  readonly axis: readonly [number, number];
}

function momentsOf({ lit, cells, floor, peak }: Field): Moments {
  const { across, up, light } = lit;
  let [sum, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0];
  for (const k of cells) {
    const value = light[k]! - floor - SPOTS.litShare * peak;
    if (value <= 0) continue;
    const [x, y] = [across[k]!, up[k]!];
    sum += value;
    sx += value * x;
    sy += value * y;
    sxx += value * x * x;
    sxy += value * x * y;
    syy += value * y * y;
  }
  const [mx, my] = [sx / sum, sy / sum];
  const [xx, xy, yy] = [sxx / sum - mx * mx, sxy / sum - mx * my, syy / sum - my * my];
  const turn = 0.5 * Math.atan2(2 * xy, xx - yy);
  const half = Math.hypot((xx - yy) / 2, xy);
  return {
    across: mx,
    up: my,
    along: (xx + yy) / 2 + half,
    aside: Math.max((xx + yy) / 2 - half, 0.05),
    axis: [Math.cos(turn), Math.sin(turn)],
  };
}

/** What a fit adjusts, in this order; one image leaves out where the second lies. */
const IMAGES = { peakLn: 0, across: 1, up: 2, widthLn: 3, floor: 4, apartAcross: 5, apartUp: 6 } as const;
type Parameters = Float64Array;

interface Fit {
  readonly parameters: Parameters;
  readonly cost: number;
  readonly deviation: (parameter: number) => number;
  readonly explained: number;
}

/** Light of one or two images at a cell over the peak, floor included, with its derivatives. */
function imagesAt({ lit }: Field, k: number, p: Parameters, profile: Profile, slopes: Float64Array): number {
  const two = p.length > 5;
  const peak = Math.exp(p[IMAGES.peakLn]!);
  const width = Math.exp(p[IMAGES.widthLn]!);
  slopes.fill(0);
  slopes[IMAGES.floor] = 1;
  let sum = p[IMAGES.floor]!;
  for (const side of two ? [-0.5, 0.5] : [0]) {
    const x = lit.across[k]! - p[IMAGES.across]! - (two ? side * p[IMAGES.apartAcross]! : 0);
    const y = lit.up[k]! - p[IMAGES.up]! - (two ? side * p[IMAGES.apartUp]! : 0);
    const distance = Math.sqrt(x * x + y * y);
    const light = peak * profile.at(distance / width);
    const slope = (peak * profile.slopeAt(distance / width)) / width;
    const [dx, dy] = distance > 0 ? [(-slope * x) / distance, (-slope * y) / distance] : [0, 0];
    sum += light;
    slopes[IMAGES.peakLn]! += light;
    slopes[IMAGES.across]! += dx;
    slopes[IMAGES.up]! += dy;
    slopes[IMAGES.widthLn]! -= slope * distance;
    if (two) {
      slopes[IMAGES.apartAcross]! += side * dx;
      slopes[IMAGES.apartUp]! += side * dy;
    }
  }
  return sum;
}

/** Logarithm of the width that images of single lamps let expect, and its standard uncertainty. */
export interface HeldWidth {
  readonly ln: number;
  readonly sigma: number;
}

/** Normal equations of a step from some parameters; and what is left over, softened and as it is. */
function imageEquations(field: Field, p: Parameters, profile: Profile, held: HeldWidth | null) {
  const { cells, sigma, floor, peak, lit } = field;
  const sums = new NormalEquations(p.length);
  const slopes = new Float64Array(p.length);
  const soft2 = SPOTS.soft ** 2;
  let [cost, left] = [0, 0];
  for (const k of cells) {
    const miss = (lit.light[k]! - floor) / peak - imagesAt(field, k, p, profile, slopes);
    const scaled = (miss * peak) / sigma[k]!;
    cost += soft2 * Math.log1p((scaled * scaled) / soft2);
    left += miss * miss;
    const weight = (peak / sigma[k]!) ** 2 / (1 + (scaled * scaled) / soft2);
    sums.add(slopes, weight, miss);
  }
  const above = -floor / peak - p[IMAGES.floor]!;
  cost += (above / SPOTS.background) ** 2;
  sums.addPrior(IMAGES.floor, SPOTS.background ** -2, above);
  if (held !== null) {
    const off = held.ln - p[IMAGES.widthLn]!;
    cost += (off / held.sigma) ** 2;
    sums.addPrior(IMAGES.widthLn, held.sigma ** -2, off);
  }
  return { sums, cost, left };
}

/** Gauss–Newton with damping; residuals beyond {@link SPOTS.soft} count by their logarithm. */
function fitImages(field: Field, start: readonly number[], profile: Profile, held: HeldWidth | null): Fit {
  const { cells, floor, peak, lit } = field;
  const count = start.length;
  const equations = (p: Parameters) => imageEquations(field, p, profile, held);
  let p: Parameters = Float64Array.from(start);
  let here = equations(p);
  let damping = 1e-3;
  for (let step = 0; step < SPOTS.steps; step++) {
    const damped = here.sums.lower.slice();
    for (let at = 0; at < damped.length; at += count + 1) damped[at] = damped[at] * (1 + damping) + 1e-9;
    const change = here.sums.side.slice();
    if (!solveCholesky(damped, change)) break;
    const next = p.map(
      (value, r) => value + Math.max(-SPOTS.longestStep, Math.min(SPOTS.longestStep, change[r]!)),
    );
    const there = equations(next);
    const gain = here.cost - there.cost;
    if (gain >= 0) {
      [p, here] = [next, there];
      damping /= 5;
      if (gain < SPOTS.settled) break;
    } else damping *= 10;
  }
  const covariance = pseudoInverse(here.sums.matrix());
  const excess = Math.max(1, here.cost / Math.max(1, cells.length - count));
  const mean = cells.reduce((sum, k) => sum + (lit.light[k]! - floor) / peak, 0) / cells.length;
  const all = cells.reduce((sum, k) => sum + ((lit.light[k]! - floor) / peak - mean) ** 2, 0);
  return {
    parameters: p,
    cost: here.cost,
    deviation: (r) => Math.sqrt(Math.max(0, covariance.get(r, r)) * excess),
    explained: 1 - here.left / all,
  };
}

function spotsOf(
  { peak, lit }: Field,
  { parameters: p, deviation, explained }: Fit,
): Omit<FittedSpots, 'apart'> {
  return {
    across: p[IMAGES.across]!,
    up: p[IMAGES.up]!,
    placeSigma: Math.max(deviation(IMAGES.across), deviation(IMAGES.up)),
    widthLn: p[IMAGES.widthLn]!,
    widthLnSigma: deviation(IMAGES.widthLn),
    peakLn: p[IMAGES.peakLn]! + Math.log(peak),
    peakLnSigma: deviation(IMAGES.peakLn),
    explained,
    widthShare: Math.exp(p[IMAGES.widthLn]!) / halfSide(lit),
  };
}

/**
 * The image of one lamp: round, on a level floor.
 *
 * @param profile - of lamps' images
 * @param held - the width that the other lamps let expect; null = not known
 * @returns null where no light stands out of the noise, or it isn't one image
 */
export function fitOneSpot(lit: CellsLit, profile: Profile, held: HeldWidth | null): Spots | null {
  const field = fieldOf(lit);
  if (!field || field.cells.length < SPOTS.leastCells) return null;
  const { across, up, along, aside } = momentsOf(field);
  const fit = fitImages(field, [0, across, up, 0.5 * Math.log((along + aside) / 2), 0], profile, held);
  const spots = { ...spotsOf(field, fit), apart: null };
  const isOne = spots.explained > SPOTS.leastExplained;
  return isOne ? asReadable(spots, lit) : null;
}

/**
 * The images of two equal lamps: round, of one width, on a level floor.
 *
 * @param profile - of lamps' images
 * @param held - the width that single lamps let expect; null = not known
 * @returns null where no light stands out of the noise
 */
export function fitTwoSpots(lit: CellsLit, profile: Profile, held: HeldWidth | null): Spots | null {
  const field = fieldOf(lit);
  if (!field || field.cells.length < SPOTS.leastCells) return null;
  const { across, up, along, aside, axis } = momentsOf(field);
  const width = held?.ln ?? 0.5 * Math.log(aside);
  const excess = Math.max(along - Math.exp(2 * width), 0.1 * along);
  const fits = SPOTS.startApart.map((share) => {
    const apart = 2 * share * Math.sqrt(excess);
    return fitImages(field, [0, across, up, width, 0, apart * axis[0], apart * axis[1]], profile, held);
  });
  const fit = fits.reduce((best, one) => (one.cost < best.cost ? one : best));
  const sigma = Math.max(fit.deviation(IMAGES.apartAcross), fit.deviation(IMAGES.apartUp));
  const spots = {
    ...spotsOf(field, fit),
    apart: { across: fit.parameters[IMAGES.apartAcross]!, up: fit.parameters[IMAGES.apartUp]!, sigma },
  };
  return asReadable(spots, lit);
}
