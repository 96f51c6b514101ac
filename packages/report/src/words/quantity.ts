/** Between a number and its unit: a line must not break there. */
const NBSP = '\u00a0';

/**
 * Decimals that a standard uncertainty justifies: two significant digits of it where it starts with 1, else one.
 * Common practice, no source.
 */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 3;
  const exponent = Math.floor(Math.log10(uncertainty) + 1e-12);
  const leading = uncertainty / 10 ** exponent;
  return Math.max(0, (leading < 1.95 ? 1 : 0) - exponent);
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(Math.min(decimals, 20));
  return (Number(text) === 0 ? text.replace('-', '') : text).replace('-', '\u2212');
}

/** A number with the stated count of significant digits, never in exponents. */
export function significant(value: number, digits: number): string {
  if (value === 0) return '0';
  const exponent = Math.floor(Math.log10(Math.abs(value)) + 1e-12);
  return fixed(value, Math.max(0, digits - 1 - exponent));
}

/** A number with its unit; degree signs stand close, other units after a space. */
export function withUnit(number: string, unit: string): string {
  if (unit === '') return number;
  return unit === '°' ? `${number}°` : `${number}${NBSP}${unit}`;
}

/** “0.98 ± 0.02 unit”, or the value with three significant digits where the uncertainty isn't known. */
export function plusMinus(value: number, uncertainty: number | null, unit = ''): string {
  if (uncertainty === null || !(uncertainty > 0)) {
    return `${withUnit(significant(value, 3), unit)} (uncertainty not known)`;
  }
  const decimals = decimalsFor(uncertainty);
  return withUnit(`${fixed(value, decimals)}${NBSP}±${NBSP}${fixed(uncertainty, decimals)}`, unit);
}

/** A share with its uncertainty as percent: “41.2 ± 0.6 %”. */
export function percentPlusMinus(share: number, uncertainty: number | null): string {
  return plusMinus(share * 100, uncertainty === null ? null : uncertainty * 100, '%');
}

/** “3.01 to 3.24 unit”, with the decimals that the interval's half width justifies. */
export function interval(low: number, high: number, unit: string): string {
  const decimals = intervalDecimals(low, high);
  return withUnit(`${fixed(low, decimals)} to ${fixed(high, decimals)}`, unit);
}

/** Decimals for the ends of an interval and for the value inside it. */
export function intervalDecimals(low: number, high: number): number {
  return decimalsFor(Math.abs(high - low) / 2);
}

export function decimal(value: number, decimals: number): string {
  return fixed(value, decimals);
}

/** A spacing or distance as people say it: millimetres below a metre. */
export function lengthM(metres: number): string {
  return Math.abs(metres) < 1 ? withUnit(trimmed(metres * 1000), 'mm') : withUnit(trimmed(metres), 'm');
}

/** At most four significant digits, without trailing zeros. */
export function trimmed(value: number): string {
  return String(Number(value.toPrecision(4))).replace('-', '\u2212');
}

/** An exposure time as cameras write it: 1/8 s, 2.5 s. */
export function exposure(seconds: number): string {
  if (seconds >= 0.3) return withUnit(trimmed(seconds), 's');
  return withUnit(`1/${Math.round(1 / seconds)}`, 's');
}

export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** “a, b and c”. */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}
