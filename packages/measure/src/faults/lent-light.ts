import type { ArraySpec } from '@twolamp/session';
import type { TubeLeak } from './find-faults.js';

/** Light that comes out of each tube and entered another, as far as single shots show a leak. */
export function lentByLeaks(
  { columns }: ArraySpec,
  relative: Float64Array,
  leaks: readonly (TubeLeak | null)[],
): Float64Array {
  const lent = new Float64Array(relative.length);
  leaks.forEach((leak, n) => {
    if (!leak?.leaky || leak.worst === null) return;
    const { row, column, share } = leak.worst;
    const to = (row - 1) * columns + column - 1;
    lent[to] += (share * relative[n]) / (1 - leak.total);
  });
  return lent;
}
