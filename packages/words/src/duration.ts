import { plusMinus, withUnit } from './quantity.js';

const UNITS = [
  { unit: 'h', seconds: 3600 },
  { unit: 'min', seconds: 60 },
] as const;

/** Two of a larger unit are said in that unit. */
function unitFor(seconds: number): { readonly unit: string; readonly seconds: number } {
  return UNITS.find((one) => seconds >= 2 * one.seconds) ?? { unit: 's', seconds: 1 };
}

/** A long time as people say it: 90 s, 3 min, 2.5 h; with this many significant digits at most. */
export function duration(seconds: number, digits = 4): string {
  const { unit, seconds: one } = unitFor(seconds);
  return withUnit(String(Number((seconds / one).toPrecision(digits))), unit);
}

/** Likewise with its standard uncertainty. */
export function durationPlusMinus(seconds: number, uncertainty: number | null): string {
  const { unit, seconds: one } = unitFor(seconds);
  return plusMinus(seconds / one, uncertainty === null ? null : uncertainty / one, unit);
}
