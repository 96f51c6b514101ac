/** Two significant digits, never in exponents, with a true minus sign. */
export function twoDigits(value: number): string {
  return String(Number(value.toPrecision(2))).replace('-', '\u2212');
}

/** A share as percent, two significant digits. */
export function percent(share: number): string {
  return `${twoDigits(100 * share)}\u00a0%`;
}

/** Metres to the centimetre, as far as a tape measure tells. */
export function metres(value: number): string {
  return `${value.toFixed(2).replace('-', '\u2212')}\u00a0m`;
}
