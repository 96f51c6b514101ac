/** Between a number and its unit: a line must not break there. */
const NBSP = '\u00a0';

/**
 * Decimals that a standard uncertainty justifies: two significant digits of it where it starts with 1, else one.
 * Common practice, no source.
 */
export function decimalsFor(uncertainty: number): number {
  if (!(uncertainty > 0)) return 3;
  const exponent = exponentOf(uncertainty);
  const leading = uncertainty / 10 ** exponent;
  return Math.max(0, (leading < 1.95 ? 1 : 0) - exponent);
}

/** Significant digits beyond which no figure of a bench with lamps and a tape measure is repeated. A judgement, no source. */
const MOST_DIGITS = 4;
/** The same for decimals of ratios near 1: dips, and a tube's light against its neighbours'. */
const RATIO_DECIMALS = 3;

const exponentOf = (value: number): number => Math.floor(Math.log10(Math.abs(value)) + 1e-12);

/** Decimals with which a value is said: as its uncertainty justifies, but no finer than a bench can tell. */
function shownDecimals(value: number, uncertainty: number): number {
  const most = value === 0 ? Number.POSITIVE_INFINITY : Math.max(0, MOST_DIGITS - 1 - exponentOf(value));
  return Math.min(decimalsFor(uncertainty), most);
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(Math.min(decimals, 20));
  return (Number(text) === 0 ? text.replace('-', '') : text).replace('-', '\u2212');
}

/** A number with the stated count of significant digits, never in exponents; digits before the point are all kept: 1234, never 1200. */
export function significant(value: number, digits: number): string {
  if (value === 0) return '0';
  return fixed(value, Math.max(0, digits - 1 - exponentOf(Number(value.toPrecision(digits)))));
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
  return withUnit(both(value, uncertainty, shownDecimals(value, uncertainty)), unit);
}

/** Both to the same place; an uncertainty that is smaller than that place is one unit of it. */
function both(value: number, uncertainty: number, decimals: number): string {
  const told = Math.max(uncertainty, 10 ** -decimals);
  return `${fixed(value, decimals)}${NBSP}±${NBSP}${fixed(told, decimals)}`;
}

/** Decimals of a ratio near 1: those that its uncertainty justifies, three at the most. */
export function ratioDecimals(uncertainty: number): number {
  return Math.min(RATIO_DECIMALS, decimalsFor(uncertainty));
}

/** A dip, or a tube's light against its neighbours', with its uncertainty: “0.411 ± 0.010”. */
export function ratioPlusMinus(value: number, uncertainty: number | null): string {
  if (uncertainty === null || !(uncertainty > 0)) return plusMinus(value, uncertainty);
  return both(value, uncertainty, ratioDecimals(uncertainty));
}

/** A part of a whole as percent, two significant digits; more where it would read 100 % though something is missing: “99.7 %”. */
export function partPercent(share: number): string {
  let digits = 2;
  while (share < 1 && Number((100 * share).toPrecision(digits)) === 100) digits++;
  return withUnit(significant(100 * share, digits), '%');
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
  return shownDecimals(Math.max(Math.abs(low), Math.abs(high)), Math.abs(high - low) / 2);
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
