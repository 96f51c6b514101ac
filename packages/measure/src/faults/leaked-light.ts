import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';

/** Light that comes out of each tube and entered another, as far as single shots show a leak. */
export function leakedLight(relative: Float64Array, leaks: readonly (TubeLeak | null)[]): Float64Array {
  const lent = new Float64Array(relative.length);
  leaks.forEach((leak, n) => {
    if (!leak?.leaky || leak.worst === null) return;
    const { cell, share } = leak.worst;
    lent[cell] += (share * relative[n]) / (1 - leak.total);
  });
  return lent;
}
