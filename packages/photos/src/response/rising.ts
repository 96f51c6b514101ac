/**
 * The sequence that never falls and lies nearest to another by least squares (isotonic regression).
 *
 * Source: pool adjacent violators: M. Ayer et al., "An empirical distribution function for sampling with incomplete
 * information", Annals of Mathematical Statistics 26 (1955), pp. 641-647, doi:10.1214/aoms/1177728423.
 */
export function nearestRising(values: Float64Array): Float64Array {
  const pools: { mean: number; count: number }[] = [];
  for (const value of values) {
    let last = { mean: value, count: 1 };
    for (let before = pools.at(-1); before && before.mean > last.mean; before = pools.at(-1)) {
      pools.pop();
      const count = before.count + last.count;
      last = { mean: (before.mean * before.count + last.mean * last.count) / count, count };
    }
    pools.push(last);
  }
  return Float64Array.from(pools.flatMap(({ mean, count }) => new Array<number>(count).fill(mean)));
}
