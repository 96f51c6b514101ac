import { NAMED_WALLS, type Random, type Wall } from '@twolamp/optics';
import type { ArraySpec, Note } from '@twolamp/session';
import { atGloss, traceWallTable, type WallTable } from './wall-table.js';

/** What is measured of the tubes' walls; null = not known. */
export interface WallEvidence {
  /** Median acceptance width in the light of lamps at a distance, and its standard uncertainty. */
  readonly acceptance: {
    readonly widthDeg: number;
    readonly uncertaintyDeg: number;
    readonly lampDistanceMm: number;
  } | null;
  /** Median absolute transmission and its standard uncertainty. */
  readonly transmission: { readonly absolute: number; readonly uncertainty: number } | null;
}

export interface WallEstimate {
  /** The wall whose traced tubes answer like the measured ones. */
  readonly wall: Wall;
  readonly glossUncertainty: number;
  /** The gloss by each figure alone; null where it isn't known. */
  readonly byWidth: number | null;
  readonly byTransmission: number | null;
  /** Acceptance width in a parallel beam ÷ that in light from the lamps' distance; 1 where no width is known. */
  readonly parallelShare: number;
  readonly notes: readonly Note[];
}

/**
 * How far theory and measurement of a figure may differ by more than its noise, shares: an acceptance has been learnt
 * from few lamps; a bare sheet and one behind an array scatter light unlike. Judgement, no source.
 */
const WIDTH_SHARE = 0.03;
const TRANSMISSION_SHARE = 0.08;
const FINE_STEPS = 1000;
/** Standard deviations from which two figures contradict each other. */
const CONTRADICT = 3;

/**
 * The effective gloss of the tubes' walls: that at which traced tubes see as wide, and pass as much even light, as the
 * measured ones.
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
    acceptance?.lampDistanceMm ?? Number.POSITIVE_INFINITY,
    random,
  );
  const width = acceptance && {
    column: table.lampWidthRad,
    log: Math.log((acceptance.widthDeg * Math.PI) / 180),
    sigma: Math.hypot(WIDTH_SHARE, acceptance.uncertaintyDeg / acceptance.widthDeg),
  };
  const light = transmission && {
    column: table.evenThroughput,
    log: Math.log(transmission.absolute),
    sigma: Math.hypot(TRANSMISSION_SHARE, transmission.uncertainty / transmission.absolute),
  };
  const figures = [width, light].filter((one) => one !== null);
  const best = leastOff(table, figures);
  return {
    wall: { index, extinction, gloss: best.gloss },
    glossUncertainty: best.sigma,
    byWidth: width && leastOff(table, [width]).gloss,
    byTransmission: light && leastOff(table, [light]).gloss,
    parallelShare:
      atGloss(table, table.widthRad, best.gloss) / atGloss(table, table.lampWidthRad, best.gloss),
    notes: notesOn(table, width, light, best.gloss),
  };
}

interface Figure {
  readonly column: Float64Array;
  readonly log: number;
  readonly sigma: number;
}

function off(table: WallTable, { column, log, sigma }: Figure, gloss: number): number {
  return (Math.log(atGloss(table, column, gloss)) - log) / sigma;
}

/** The gloss at which the figures together are off the least, and its standard uncertainty by their steepness there. */
function leastOff(table: WallTable, figures: readonly Figure[]): { gloss: number; sigma: number } {
  const chi2 = (gloss: number) => figures.reduce((sum, figure) => sum + off(table, figure, gloss) ** 2, 0);
  let gloss = 0;
  for (let step = 1; step <= FINE_STEPS; step++) {
    if (chi2(step / FINE_STEPS) < chi2(gloss)) gloss = step / FINE_STEPS;
  }
  const low = Math.max(0, gloss - 0.02);
  const high = Math.min(1, gloss + 0.02);
  const steepness = figures.map(
    (figure) => (off(table, figure, high) - off(table, figure, low)) / (high - low),
  );
  return { gloss, sigma: 1 / Math.hypot(...steepness) };
}

function notesOn(table: WallTable, width: Figure | null, light: Figure | null, gloss: number): Note[] {
  const notes: Note[] = [];
  const about = 'wall';
  if (width && off(table, width, 1) < -CONTRADICT) {
    notes.push({ about, says: 'the tubes see wider than the smoothest wall of this material explains' });
  }
  if (width && off(table, width, 0) > CONTRADICT) {
    notes.push({
      about,
      says: 'the tubes see narrower than a wall that reflects nothing explains: check length and bore',
    });
  }
  if (
    width &&
    light &&
    Math.max(Math.abs(off(table, width, gloss)), Math.abs(off(table, light, gloss))) > CONTRADICT
  ) {
    notes.push({
      about,
      says:
        'acceptance width and absolute transmission don’t belong to one gloss: the walls scatter light, or the bare shot ' +
        'was lit otherwise than the even one',
    });
  }
  return notes;
}
