import { parabolaVertex } from '@twolamp/numeric';
import {
  type Acceptance,
  type Random,
  type Slopes,
  type TubeShape,
  traceAcceptance,
  type Wall,
} from '@twolamp/optics';
import type { PointingSurvey } from '../pointing/measure-pointing.js';
import { fitStraight, ownShapeData } from '../pointing/point-tube.js';
import { bestHeight } from '../pointing/start-shapes.js';
import type { TubeData } from '../pointing/tube-data.js';
import { SIDE_SHOWS } from './tuning.js';

/** The bow whose traced acceptance fits a tube's readings best. */
export interface BowFit {
  readonly bowMm: number;
  readonly uncertaintyMm: number;
  /** Direction of the tube's middle off the chord, 0 = right, anticlockwise as seen from the back; null if not determined. */
  readonly directionRad: number | null;
  /** Drop in χ² from the best straight tube of the shared acceptance, with free height, direction and width. */
  readonly gain: number;
}

/** A traced bent tube with its middle to the right of the chord. */
interface TracedBent {
  readonly bowMm: number;
  readonly acceptance: Acceptance;
}

/** Bows traced, in bores. */
const TRACED_BORES = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1] as const;
const RAYS = 128;
/** Directions tried, and halvings of the step around the best one: to a quarter of a degree. */
const DIRECTIONS = 48;
const HALVINGS = 5;

/**
 * Fits bows by the shape of the acceptance: tubes with bows of all sizes are traced, turned about their chord and scaled to
 * fit the readings of the sweep. The chord is taken from the neighbours' field, with its scatter as uncertainty. (Own
 * method.)
 *
 * @param tube - straight
 * @param wall - of the array's tubes, as estimated
 * @param random - for the tracing
 * @returns a function of a tube's number; null where the best bow is the smallest or largest traced, where no bow fits
 *   better than a straight tube, or where the neighbours' directions are not known. Tubes are traced on first use
 */
export function tracedBowFits(
  tube: TubeShape,
  wall: Wall,
  { sweep, common, field }: Pick<PointingSurvey, 'sweep' | 'common' | 'field'>,
  random: Random,
): (n: number) => BowFit | null {
  if (sweep === null || common === null || field === null) return () => null;
  let traced: readonly TracedBent[] | null = null;
  const trace = () =>
    TRACED_BORES.map((bores): TracedBent => {
      const bowMm = bores * tube.boreMm;
      const options = { lampDistanceMm: sweep.distanceMm, raysPerDirection: RAYS };
      return { bowMm, acceptance: traceAcceptance({ ...tube, bowMm }, wall, random, options) };
    });
  // Direction of the lamp, from the nominal front end, at which a tube along the field sees it best; see pointTube.
  const seen = 1 + sweep.lengthShare;
  return (n) => {
    traced ??= trace();
    const data = ownShapeData(sweep, n, null);
    const chord = { across: seen * field.across[n], up: seen * field.up[n] };
    const best = bestBow(traced, data, chord);
    if (best === null) return null;
    const gain = fitStraight(common, data, chord).chi2 - best.chi2;
    if (!(gain > 0)) return null;
    const scatter = seen * field.scatter;
    const moved = [scatter, -scatter].map((by) =>
      bestBow(traced!, data, along(chord, best.directionRad, by)),
    );
    const byChord = Math.max(...moved.map((one) => Math.abs((one ?? best).bowMm - best.bowMm)));
    const { acceptance } = traced[best.index];
    return {
      bowMm: best.bowMm,
      uncertaintyMm: Math.hypot(best.sigmaMm, byChord),
      directionRad:
        Math.abs(acceptance.centre.across) > SIDE_SHOWS * acceptance.widthRad ? best.directionRad : null,
      gain,
    };
  };
}

function along({ across, up }: Slopes, directionRad: number, by: number): Slopes {
  return { across: across + by * Math.cos(directionRad), up: up + by * Math.sin(directionRad) };
}

interface BestBow extends Turned {
  /** Of the best traced bow. */
  readonly index: number;
  readonly bowMm: number;
  /** From the readings' noise alone. */
  readonly sigmaMm: number;
}

/**
 * The minimum of the parabola in χ² through the best traced bow and its neighbours.
 *
 * @param chord - of the tube, slopes off the nominal direction; @returns null where the best one is the first or last traced
 */
function bestBow(traced: readonly TracedBent[], data: TubeData, chord: Slopes): BestBow | null {
  const aside = {
    ...data,
    across: data.across.map((slope) => slope - chord.across),
    up: data.up.map((slope) => slope - chord.up),
  };
  const fits = traced.map(({ acceptance }) => turned(acceptance, aside));
  const chi2 = fits.map((fit) => fit.chi2);
  const index = chi2.indexOf(Math.min(...chi2));
  if (index === 0 || index === chi2.length - 1) return null;
  const vertex = parabolaVertex(chi2[index - 1], chi2[index], chi2[index + 1]);
  if (vertex === null || !(vertex.curvature > 0)) return null;
  const step = traced[1].bowMm - traced[0].bowMm;
  const bowMm = traced[index].bowMm + step * vertex.offset;
  return { ...fits[index], index, bowMm, sigmaMm: step * Math.sqrt(2 / vertex.curvature) };
}

interface Turned {
  readonly chi2: number;
  readonly directionRad: number;
}

/** A traced acceptance turned about its chord, and scaled, until it fits best. */
function turned(acceptance: Acceptance, data: TubeData): Turned {
  let step = (2 * Math.PI) / DIRECTIONS;
  let best = { chi2: Number.POSITIVE_INFINITY, directionRad: 0 };
  const tryAt = (directionRad: number) => {
    const chi2 = scaledChi2(acceptance, data, directionRad);
    if (chi2 < best.chi2) best = { chi2, directionRad };
  };
  for (let i = 0; i < DIRECTIONS; i++) tryAt(i * step);
  for (let halving = 0; halving < HALVINGS; halving++) {
    step /= 2;
    const { directionRad } = best;
    tryAt(directionRad - step);
    tryAt(directionRad + step);
  }
  return best;
}

/** χ² at the height that best fits the readings that are not clipped; clipped ones are lower bounds. */
function scaledChi2(acceptance: Acceptance, data: TubeData, directionRad: number): number {
  const cos = Math.cos(directionRad);
  const sin = Math.sin(directionRad);
  const passedAt = (k: number) => {
    const across = data.across[k];
    const up = data.up[k];
    return acceptance.at(cos * across + sin * up, cos * up - sin * across);
  };
  const { height, chi2 } = bestHeight(data, data.clipped, passedAt);
  let short = 0;
  for (let k = 0; k < data.response.length; k++) {
    if (data.clipped[k] !== 1) continue;
    short += Math.max(0, (data.response[k] - height * passedAt(k)) / data.sigma[k]) ** 2;
  }
  return chi2 + short;
}
