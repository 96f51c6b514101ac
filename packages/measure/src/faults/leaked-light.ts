import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';

/** Light out of each tube that entered another one, from the leaks that single shots show. */
export function leakedLight(relative: Float64Array, leaks: readonly (TubeLeak | null)[]): Float64Array {
  const lent = new Float64Array(relative.length);
  leaks.forEach((leak, n) => {
    if (!leak?.leaky || leak.worst === null) return;
    const { cell, share } = leak.worst;
    lent[cell] += (share * relative[n]) / (1 - leak.total);
  });
  return lent;
}
