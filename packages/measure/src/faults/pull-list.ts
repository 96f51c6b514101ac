import { cellPlace, type PullEntry } from '@twolamp/session';
import { CENTRE_ACROSS, CENTRE_UP } from '../pointing/tube-shape.js';
import { usefulLight } from './useful-light.js';
import type { FaultEvidence, FaultSurvey } from './find-faults.js';
import { leakedLight } from './leaked-light.js';
import { type LampPair, type ModelTube, meanDip } from './mean-dip.js';
import { BENT_UNCERTAINTY, DIP_GAIN_UNCERTAINTY } from './tuning.js';

/** A figure that changes when tubes are replaced, with its standard uncertainty. */
export interface Gain {
  readonly gain: number;
  readonly uncertainty: number;
}

type Entry = Pick<PullEntry, 'cell' | 'row' | 'column' | 'fault' | 'gain'>;

export interface PullList {
  /** Best gain in light first. */
  readonly entries: readonly Entry[];
  /** Standard uncertainty of each entry's gain, in the same order. */
  readonly uncertainty: readonly number[];
  /** Change of the pair's dip; null without a resolving distance or without pointing. */
  readonly dip: {
    /** Mean over the array, as it is. */
    readonly mean: number;
    /** Of each entry, in the same order. */
    readonly gains: readonly Gain[];
    /** Of the first tubes together, for each of {@link stepsOf}. */
    readonly together: readonly Gain[];
  } | null;
}

/** How many tubes from the head of the list are replaced together: the first, the first five, all. */
export function stepsOf(tubes: number): number[] {
  return [...new Set([1, 5, tubes])].filter((step) => step >= 1 && step <= tubes);
}

const SLOPE_PER_DEG = Math.PI / 180;

/**
 * The tubes worth replacing, best gain first.
 *
 * The gain is the useful light that the array gains when the tube is replaced by a typical one, as a share of the light of
 * an array of typical tubes: (1 − useful) ÷ N. Useful is the light that a tube and a typical one in its place have in
 * common, over the larger of both: for a tube that looks aside the overlap of their acceptances, for an open hole the
 * share of its light that a typical tube would have passed.
 *
 * The change of the mean dip of two lamps is given as well; see {@link meanDip}.
 *
 * The uncertainties include the tube's own measurement and the scatter of healthy tubes' light and direction, which the
 * new tube will have as well.
 *
 * @param pair - two lamps at the resolving distance; null where it isn't known
 */
export function pullList(evidence: FaultEvidence, faults: FaultSurvey, pair: LampPair | null): PullList {
  const count = evidence.relative.length;
  const found = faults.tubes.flatMap((tube, n) => {
    if (tube.fault === 'none') return [];
    const useful = usefulOf(evidence, faults, n);
    const entry: Entry = {
      ...cellPlace(evidence.array, n),
      fault: tube.fault,
      gain: (1 - useful.gain) / count,
    };
    return [{ entry, n, uncertainty: useful.uncertainty / count }];
  });
  found.sort((a, b) => b.entry.gain - a.entry.gain);
  return {
    entries: found.map((one) => one.entry),
    uncertainty: found.map((one) => one.uncertainty),
    dip: dipGains(
      evidence,
      faults,
      pair,
      found.map((one) => one.n),
    ),
  };
}

/** Total gain in light of the first tubes of the list, with its standard uncertainty. */
export function gainOfFirst(list: PullList, first: number): Gain {
  return {
    gain: list.entries.slice(0, first).reduce((sum, entry) => sum + entry.gain, 0),
    uncertainty: Math.hypot(0, ...list.uncertainty.slice(0, first)),
  };
}

/** Useful light of a tube; a typical tube = 1. */
function usefulOf(
  { relative, relativeSigma, pointing }: FaultEvidence,
  faults: FaultSurvey,
  n: number,
): Gain {
  const { typical, scatter } = faults.light;
  const share = relative[n] / typical;
  const sigma = Math.hypot(scatter, relativeSigma[n]) / typical;
  const look = pointing.tubes[n];
  const { fault } = faults.tubes[n];
  if (fault === 'open') return { gain: 1 / share, uncertainty: sigma / share };
  if (fault === 'bent' || fault === 'misaimed') {
    if (look === null || look.error === null) return { gain: 0, uncertainty: sigma };
    const { acceptance } = pointing.common!;
    const light = Number.isNaN(share) ? 1 : share;
    const farther = SLOPE_PER_DEG * Math.hypot(look.uncertaintyDeg, pointing.scatterDeg ?? 0);
    const gain = usefulLight(acceptance, look, light);
    const byAngle = gain - usefulLight(acceptance, look, light, farther);
    return { gain, uncertainty: Math.hypot(gain * sigma, byAngle, fault === 'bent' ? BENT_UNCERTAINTY : 0) };
  }
  return { gain: Math.min(1, Math.max(0, share)), uncertainty: sigma };
}

function dipGains(
  evidence: FaultEvidence,
  faults: FaultSurvey,
  pair: LampPair | null,
  found: readonly number[],
): PullList['dip'] {
  const { common } = evidence.pointing;
  if (pair === null || common === null) return null;
  const tubes = modelTubes(evidence, faults);
  const model = meanDip(evidence.array, common.acceptance, tubes, pair);
  const replacement = (n: number, light: number): ModelTube => ({
    ...tubes[n],
    light,
    shape: null,
    leak: null,
  });
  const scatter = faults.light.scatter / faults.light.typical;
  const gainOf = (some: readonly number[]): number =>
    model.with(new Map(some.map((n) => [n, replacement(n, 1)]))) - model.mean;
  const single = found.map((n) => gainOf([n]));
  /** What the scatter of healthy tubes' light makes of each gain. */
  const scattered = found.map(
    (n, i) => model.with(new Map([[n, replacement(n, 1 + scatter)]])) - model.mean - single[i],
  );
  const together = stepsOf(found.length).map((step): Gain => {
    const gain = gainOf(found.slice(0, step));
    // The new tubes differ each on its own; the model's error is shared by all.
    const own = scattered.slice(0, step);
    return { gain, uncertainty: Math.hypot(...own, DIP_GAIN_UNCERTAINTY * gain) };
  });
  return {
    mean: model.mean,
    gains: single.map((gain, n) => ({
      gain,
      uncertainty: Math.hypot(scattered[n], DIP_GAIN_UNCERTAINTY * gain),
    })),
    together,
  };
}

function modelTubes({ relative, pointing, leaks }: FaultEvidence, faults: FaultSurvey): ModelTube[] {
  const { typical } = faults.light;
  const lent = leakedLight(relative, leaks);
  return faults.tubes.map(({ fault }, n): ModelTube => {
    const look = pointing.tubes[n];
    const leak = leaks[n];
    const worst = leak?.leaky ? leak.worst : null;
    const light = Number.isNaN(relative[n]) ? 1 : Math.max(0, relative[n] - lent[n]) / typical;
    const unseen = look === null && (fault === 'bent' || fault === 'misaimed');
    return {
      fieldAcross: look?.error ? look.shape[CENTRE_ACROSS] - look.error.across : 0,
      fieldUp: look?.error ? look.shape[CENTRE_UP] - look.error.up : 0,
      light: unseen ? 0 : light,
      shape: look?.shape ?? null,
      leak: worst && { to: worst.cell, share: worst.share },
    };
  });
}
