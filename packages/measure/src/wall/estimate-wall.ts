import { NAMED_WALLS, type Random, type Wall } from '@twolamp/optics';
import { type ArraySpec, type Finding, finding } from '@twolamp/session';
import type { LampSize } from '@twolamp/resolving';
import { atGloss, lampWidthsRad, traceWallTable, type WallTable } from './wall-table.js';
import { CONTRADICT_SIGMAS, TRANSMISSION_MODEL_ERROR, WIDTH_MODEL_ERROR, WORTH_STATING } from './tuning.js';

/** What is measured of the tubes' walls; null = not known. */
export interface WallEvidence {
  /** Median acceptance width in the light of the lamps, and its standard uncertainty. */
  readonly acceptance: {
    readonly widthDeg: number;
    readonly uncertaintyDeg: number;
    readonly lamp: LampSize & { readonly distanceMm: number };
  } | null;
  /** Median absolute transmission and its standard uncertainty. */
  readonly transmission: { readonly absolute: number; readonly uncertainty: number } | null;
}

export interface WallEstimate {
  /** The wall whose traced tubes match the measured ones. */
  readonly wall: Wall;
  readonly glossUncertainty: number;
  /** The gloss by each figure alone; null where that figure is not known. */
  readonly byWidth: number | null;
  readonly byTransmission: number | null;
  /** Acceptance width in a parallel beam ÷ that in the lamps' light; 1 where no width is known. */
  readonly parallelShare: number;
  /** Relative uncertainty of acceptance widths due to the lamps' diameter; 0 where no width is known. */
  readonly lampShare: number;
  readonly findings: readonly Finding[];
}

const FINE_STEPS = 1000;

/**
 * The effective gloss of the tubes' walls: that at which traced tubes have the measured acceptance width and absolute
 * transmission, in the sense of least squares.
 *
 * @returns null where neither figure is known
 */
export function estimateWall(array: ArraySpec, evidence: WallEvidence, random: Random): WallEstimate | null {
  const { acceptance, transmission } = evidence;
  if (acceptance === null && transmission === null) return null;
  const material = typeof array.tubeWall === 'object' ? array.tubeWall : NAMED_WALLS['glossy black'];
  const { index, extinction } = material;
  const table = traceWallTable(
    array,
    { index, extinction },
    acceptance?.lamp.distanceMm ?? Number.POSITIVE_INFINITY,
    random,
  );
  const width = acceptance && widthFigure(table, acceptance);
  const light = transmission && {
    column: table.evenThroughput,
    log: Math.log(transmission.absolute),
    sigma: Math.hypot(TRANSMISSION_MODEL_ERROR, transmission.uncertainty / transmission.absolute),
  };
  const figures = [width, light].filter((one) => one !== null);
  const best = bestGloss(table, figures);
  return {
    wall: { index, extinction, gloss: best.gloss },
    glossUncertainty: best.sigma,
    byWidth: width && bestGloss(table, [width]).gloss,
    byTransmission: light && bestGloss(table, [light]).gloss,
    parallelShare: width
      ? atGloss(table, table.widthRad, best.gloss) / atGloss(table, width.column, best.gloss)
      : 1,
    lampShare: width?.lampShare ?? 0,
    findings: findingsOn(table, width, light, best.gloss),
  };
}

interface Figure {
  readonly column: Float64Array;
  readonly log: number;
  readonly sigma: number;
}

interface WidthFigure extends Figure {
  /** Relative uncertainty of the width that comes from the lamps' size. */
  readonly lampShare: number;
}

/** The width in the light of the lamps. */
function widthFigure(
  table: WallTable,
  { widthDeg, uncertaintyDeg, lamp }: NonNullable<WallEvidence['acceptance']>,
): WidthFigure {
  const widths = (diameterMm: number) => lampWidthsRad(table, diameterMm / 2 / lamp.distanceMm);
  const figure = {
    column: widths(lamp.diameterMm),
    log: Math.log((widthDeg * Math.PI) / 180),
    sigma: Math.hypot(WIDTH_MODEL_ERROR, uncertaintyDeg / widthDeg),
  };
  const { gloss } = bestGloss(table, [figure]);
  const wider = atGloss(table, widths(lamp.diameterMm + lamp.sigmaMm), gloss);
  const lampShare = wider / atGloss(table, figure.column, gloss) - 1;
  return { ...figure, sigma: Math.hypot(figure.sigma, lampShare), lampShare };
}

function residual(table: WallTable, { column, log, sigma }: Figure, gloss: number): number {
  return (Math.log(atGloss(table, column, gloss)) - log) / sigma;
}

/**
 * The gloss with the least χ² of the figures together, and its standard uncertainty from their derivatives there, stretched where
 * two figures disagree by more than theirs: one of them is wrong then, and nothing tells which (Birge's ratio; R. T. Birge, Phys. Rev. 40
 * (1932) 207, from memory).
 */
function bestGloss(table: WallTable, figures: readonly Figure[]): { gloss: number; sigma: number } {
  const chi2 = (gloss: number) =>
    figures.reduce((sum, figure) => sum + residual(table, figure, gloss) ** 2, 0);
  let gloss = 0;
  for (let step = 1; step <= FINE_STEPS; step++) {
    if (chi2(step / FINE_STEPS) < chi2(gloss)) gloss = step / FINE_STEPS;
  }
  const low = Math.max(0, gloss - 0.02);
  const high = Math.min(1, gloss + 0.02);
  const steepness = figures.map(
    (figure) => (residual(table, figure, high) - residual(table, figure, low)) / (high - low),
  );
  const stretch = figures.length > 1 ? Math.max(1, Math.sqrt(chi2(gloss) / (figures.length - 1))) : 1;
  return { gloss, sigma: stretch / Math.hypot(...steepness) };
}

function findingsOn(
  table: WallTable,
  width: WidthFigure | null,
  light: Figure | null,
  gloss: number,
): Finding[] {
  const findings: Finding[] = [];
  if (width && width.lampShare > WORTH_STATING) {
    findings.push(finding('lamp-diameter-not-stated', 'pointing', { widthShare: width.lampShare }));
  }
  if (width && residual(table, width, 1) < -CONTRADICT_SIGMAS) {
    findings.push(finding('wider-than-smooth-walls', 'wall', {}));
  }
  if (width && residual(table, width, 0) > CONTRADICT_SIGMAS) {
    findings.push(finding('narrower-than-black-walls', 'wall', {}));
  }
  if (
    width &&
    light &&
    Math.max(Math.abs(residual(table, width, gloss)), Math.abs(residual(table, light, gloss))) >
      CONTRADICT_SIGMAS
  ) {
    findings.push(finding('wall-figures-disagree', 'wall', {}));
  }
  return findings;
}
