/** Bits sorted by at once, and the number of passes that cover 32. */
const BITS = 11;
const PASSES = 3;
const SIGN = 0x8000_0000;

/**
 * The order of single-precision numbers from the least to the greatest: equal ones stay as they came. A radix sort by their
 * bits, several times as fast as one that compares.
 *
 * @param values - without NaN; −0 counts as less than 0
 * @returns their indices
 * Source: Knuth, The Art of Computer Programming 3, 5.2.5, algorithm R.
 */
export function orderOf(values: Float32Array): Uint32Array {
  const count = values.length;
  const bits = new Uint32Array(values.slice().buffer);
  // As unsigned integers: negative numbers turned about, positive ones above them.
  for (let n = 0; n < count; n++) bits[n] = bits[n] >= SIGN ? ~bits[n] : bits[n] | SIGN;
  let order = new Uint32Array(count);
  for (let n = 0; n < count; n++) order[n] = n;
  let sorted = new Uint32Array(count);
  const next = new Uint32Array(2 ** BITS);
  const mask = 2 ** BITS - 1;
  for (let pass = 0; pass < PASSES; pass++) {
    const shift = pass * BITS;
    next.fill(0);
    for (let n = 0; n < count; n++) next[(bits[n] >>> shift) & mask]++;
    for (let digit = 0, before = 0; digit <= mask; digit++) {
      const here = next[digit];
      next[digit] = before;
      before += here;
    }
    for (let n = 0; n < count; n++) {
      const index = order[n];
      sorted[next[(bits[index] >>> shift) & mask]++] = index;
    }
    [order, sorted] = [sorted, order];
  }
  return order;
}
