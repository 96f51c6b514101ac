import { type ComparisonFinding, finding, type Result, type TubeChange } from '@twolamp/session';
import {
  benjaminiHochberg,
  extraScatter,
  fitRobustSurface,
  madScale,
  type RobustSurface,
} from '@twolamp/numeric';
import { FALSE_DISCOVERY_RATE, LEAST_HEALTHY, LEAST_SCATTER_DEG, PLANE_TUBES } from './tuning.js';
import type { MatchedTube } from './matched-tubes.js';

export interface PointingChanges {
  /** One a tube; null where its pointing and the uncertainty of it aren't known in both sessions. */
  readonly changes: readonly TubeChange['pointing'][];
  readonly findings: readonly ComparisonFinding[];
}

interface Shift {
  readonly index: number;
  /** Place at the sheet, pitches from the middle. */
  readonly across: number;
  readonly up: number;
  readonly acrossDeg: number;
  readonly upDeg: number;
  readonly statedDeg: number;
  readonly healthy: boolean;
}

function shiftsOf(tubes: readonly MatchedTube[], array: Result['array']): Shift[] {
  return tubes.flatMap(({ earlier, later }, index) => {
    const [before, after] = [earlier.pointing, later.pointing];
    if (!before?.uncertaintyDeg || !after?.uncertaintyDeg) return [];
    return [
      {
        index,
        across: later.atMm.across / array.backPitchMm,
        up: later.atMm.up / array.backPitchMm,
        acrossDeg: after.acrossDeg - before.acrossDeg,
        upDeg: after.upDeg - before.upDeg,
        statedDeg: Math.hypot(before.uncertaintyDeg, after.uncertaintyDeg),
        healthy: earlier.fault === 'none' && later.fault === 'none',
      },
    ];
  });
}

function common(healthy: readonly Shift[], value: (shift: Shift) => number): RobustSurface {
  return fitRobustSurface(
    healthy.map((shift) => shift.across),
    healthy.map((shift) => shift.up),
    healthy.map(value),
    healthy.length < PLANE_TUBES ? 0 : 1,
  );
}

/**
 * How each tube's pointing changed between two sessions, against what all tubes have in common.
 *
 * An array never stands twice in quite the same way towards the lamps, and a tape measure's errors shear and stretch
 * all directions alike: a robust plane over the array through the healthy tubes' changes, each axis its own, is taken out and told in
 * a finding. Uncertainty, for each axis: the stated ones and a scatter that makes most healthy tubes agree. Significance: the two axes
 * together, χ² with two degrees of freedom, whose tail is e^(−χ²/2); Benjamini–Hochberg over the array.
 */
export function pointingChanges(tubes: readonly MatchedTube[], array: Result['array']): PointingChanges {
  const shifts = shiftsOf(tubes, array);
  const healthy = shifts.filter((shift) => shift.healthy);
  const changes: TubeChange['pointing'][] = tubes.map(() => null);
  if (healthy.length < LEAST_HEALTHY) {
    const counts = { healthy: healthy.length, needed: LEAST_HEALTHY };
    return { changes, findings: [finding('pointing-not-compared', 'pointing', counts)] };
  }
  const across = common(healthy, (shift) => shift.acrossDeg);
  const up = common(healthy, (shift) => shift.upDeg);
  const own = shifts.map((shift) => ({
    ...shift,
    acrossDeg: shift.acrossDeg - across.at(shift.across, shift.up),
    upDeg: shift.upDeg - up.at(shift.across, shift.up),
  }));
  const bulk = own.filter((shift) => shift.healthy);
  const extraDeg = Math.max(
    LEAST_SCATTER_DEG,
    extraScatter(
      bulk.flatMap(({ acrossDeg, upDeg }) => [acrossDeg, upDeg]),
      bulk.flatMap(({ statedDeg }) => [statedDeg, statedDeg]),
      bulk.flatMap(() => [1, 1]),
    ),
  );
  const tested = own.map(({ index, acrossDeg, upDeg, statedDeg }) => {
    return { index, acrossDeg, upDeg, uncertaintyDeg: Math.hypot(statedDeg, extraDeg) };
  });
  const { found } = benjaminiHochberg(
    tested.map(({ acrossDeg, upDeg, uncertaintyDeg }) =>
      Math.exp(-(acrossDeg ** 2 + upDeg ** 2) / (2 * uncertaintyDeg ** 2)),
    ),
    FALSE_DISCOVERY_RATE,
  );
  tested.forEach(({ index, ...change }, i) => {
    changes[index] = { ...change, significant: found[i] === 1 };
  });
  // A median-based scale over √n: what the fit leaves open in the middle.
  const leftDeg =
    madScale(bulk.flatMap(({ acrossDeg, upDeg }) => [acrossDeg, upDeg])) / Math.sqrt(bulk.length);
  const turned = { acrossDeg: across.at(0, 0), upDeg: up.at(0, 0), uncertaintyDeg: leftDeg };
  return { changes, findings: [finding('array-turned', 'pointing', turned)] };
}
