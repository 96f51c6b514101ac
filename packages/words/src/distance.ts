import type { Resolving, Way } from '@twolamp/session';
import { decimal, interval, intervalDecimals, withUnit } from './quantity.js';

/** A distance with the ends of its 95 % interval, or a bound. */
type Distance = NonNullable<Way['resolvingM']> | Omit<NonNullable<Way['resolvingM']>, 'basis'>;

/** The measured resolving distance in the form in which all pages say distances. */
export function measuredDistance({ distanceM, lowM, highM, bound }: Resolving): Distance {
  const within = bound === 'within';
  return { value: distanceM, low: within ? lowM : null, high: within ? highM : null, bound };
}

/** “3.12 m”, with the digits that its interval justifies: one number wherever it is said. */
export function distanceValue({ value, low, high }: Pick<Distance, 'value' | 'low' | 'high'>): string {
  return withUnit(decimal(value, low !== null && high !== null ? intervalDecimals(low, high) : 2), 'm');
}

/** “3.12 m (3.01 to 3.24 m)”, or a bound. */
export function distanceText(distance: Distance | null): string {
  if (distance === null) return 'not known';
  const { low, high, bound } = distance;
  const value = distanceValue(distance);
  if (bound === 'beyond') return `farther than ${value}`;
  if (bound === 'nearer') return `nearer than ${value}`;
  return low === null || high === null ? value : `${value} (${interval(low, high, 'm')})`;
}
