import { interpolateEven } from '@twolamp/numeric';
import type { CellsLit, Spots } from './spots.js';
import { SPOTS } from './tuning.js';

/** Light of a lamp's image over its peak against the distance from its middle, in widths. */
export interface Profile {
  readonly at: (distance: number) => number;
  readonly slopeAt: (distance: number) => number;
}
export const GAUSSIAN: Profile = {
  at: (distance) => Math.exp((-distance * distance) / 2),
  slopeAt: (distance) => -distance * Math.exp((-distance * distance) / 2),
};

/**
 * The profile that the images of single lamps have in common.
 *
 * @param shots - with where their light lies, as fitted with a Gaussian
 * @returns the Gaussian where too few cells show the profile
 */
export function commonProfile(shots: readonly { readonly lit: CellsLit; readonly spots: Spots }[]): Profile {
  const sums = new Float64Array(SPOTS.profileSteps + 1);
  const counts = new Float64Array(SPOTS.profileSteps + 1);
  for (const { lit, spots } of shots) {
    if (spots.placeSigma > SPOTS.profilePlaceSigma) continue;
    const [width, peak] = [Math.exp(spots.widthLn), Math.exp(spots.peakLn)];
    for (let k = 0; k < lit.light.length; k++) {
      if (!lit.usable[k]) continue;
      const [x, y] = [lit.across[k]! - spots.across, lit.up[k]! - spots.up];
      const at = (Math.sqrt(x * x + y * y) / width) * SPOTS.profilePerWidth;
      const step = Math.floor(at);
      if (step >= SPOTS.profileSteps) continue;
      const light = lit.light[k]! / peak;
      const share = at - step;
      sums[step]! += (1 - share) * light;
      counts[step]! += 1 - share;
      sums[step + 1]! += share * light;
      counts[step + 1]! += share;
    }
  }
  const open = counts.findIndex((count) => count < SPOTS.profileCells);
  const known = (open < 0 ? SPOTS.profileSteps : open) - 1;
  if (known < SPOTS.leastProfileSteps) return GAUSSIAN;
  const gaussian = (node: number) => GAUSSIAN.at(node / SPOTS.profilePerWidth);
  const mean = sums.map((sum, node) => Math.max(0, sum / Math.max(counts[node]!, 1e-9)));
  const table = mean.map((value, node) =>
    node <= known ? value / mean[0]! : (mean[known]! / mean[0]!) * (gaussian(node) / gaussian(known)),
  );
  table[SPOTS.profileSteps] = 0;
  const slopes = table.map((_, node) => {
    const [before, after] = [table[Math.max(0, node - 1)]!, table[Math.min(SPOTS.profileSteps, node + 1)]!];
    return ((after - before) / 2) * SPOTS.profilePerWidth;
  });
  return {
    at: (distance) => interpolateEven(table, distance * SPOTS.profilePerWidth),
    slopeAt: (distance) => interpolateEven(slopes, distance * SPOTS.profilePerWidth),
  };
}
