import { madScale, median } from '@twolamp/numeric';
import { type ArraySpec, type Fault, type Finding, finding, namedPlaces } from '@twolamp/session';
import { LEAST_NEGATIVE, MOST_SCATTER, NEGATIVE_SIGMAS } from './tuning.js';

const LEAST_TUBES = 3;

/** Cells whose light is below zero by more than its noise. */
function negativeLight(array: ArraySpec, relative: Float64Array, sigma: Float64Array): Finding[] {
  const cells = Array.from(relative.keys()).filter(
    (k) => relative[k] < -Math.max(LEAST_NEGATIVE, NEGATIVE_SIGMAS * sigma[k]),
  );
  if (cells.length === 0) return [];
  return [
    finding('light-negative', 'transmission.relative', {
      negative: cells.length,
      lowest: Math.min(...cells.map((k) => relative[k])),
      first: namedPlaces(array, cells),
    }),
  ];
}

/**
 * What no array's light can be: below zero, or scattered so much among healthy tubes that one figure says nothing.
 *
 * @param relative - transmission of N cells against their neighbours, 1 = typical, with its standard uncertainty
 * @param faults - of the same cells
 */
export function implausibleLight(
  array: ArraySpec,
  relative: Float64Array,
  sigma: Float64Array,
  faults: readonly Fault[],
): Finding[] {
  const findings = negativeLight(array, relative, sigma);
  const healthy = relative.filter((value, k) => faults[k] === 'none' && Number.isFinite(value));
  if (healthy.length < LEAST_TUBES) return findings;
  const scatter = madScale(healthy, median(healthy));
  if (scatter > MOST_SCATTER) findings.push(finding('light-scattered', 'transmission.relative', { scatter }));
  return findings;
}
