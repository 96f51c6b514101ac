/** Five digits are enough for a score. */
export function short(value: number): number {
  return Number(value.toPrecision(5));
}

/** The upper one of two middle values. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}
