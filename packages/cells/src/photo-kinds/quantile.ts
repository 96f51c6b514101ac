/** Value below which a share of the finite values lies; NaN where there is none. */
export function quantile(values: Float64Array, share: number): number {
  const ranked = values.filter((value) => Number.isFinite(value)).sort();
  return ranked[Math.min(ranked.length - 1, Math.floor(share * ranked.length))] ?? Number.NaN;
}
