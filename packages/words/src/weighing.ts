import type { Way, Weighing } from '@twolamp/session';
import { widening } from './finishing.js';
import { distanceValue } from './distance.js';
import { counted, decimal, intervalDecimals, withUnit } from './quantity.js';

/** Hours of work as people say them. */
export function hoursText(hours: number): string {
  if (hours === 0) return 'none';
  if (hours < 1) return withUnit(String(Math.max(1, Math.round(60 * hours))), 'min');
  return withUnit(hours < 10 ? hours.toFixed(1) : hours.toFixed(0), 'h');
}

const wayNamed = ({ ways }: Weighing, name: string) => ways.find(({ way }) => way === name);

function gainIn(now: Way, then: Way): string {
  const [a, b] = [now.resolvingM, then.resolvingM];
  if (a?.bound !== 'within' || b?.bound !== 'within') return '';
  const change = b.value - a.value;
  const told = b.low !== null && b.high !== null && (b.low > a.value || b.high < a.value);
  if (!told) {
    const [then, before] = [distanceValue(b), distanceValue(a)];
    return then === before
      ? 'should keep two lamps separate as far as now'
      : `should keep two lamps separate up to ${then}, now ${before}: a change within the uncertainty of the measured distance`;
  }
  const decimals = intervalDecimals(b.low ?? 0, b.high ?? 0);
  return `keeps two lamps separate ${withUnit(decimal(Math.abs(change), decimals), 'm')} ${change > 0 ? 'farther away' : 'less far'}`;
}

/**
 * One sentence that sets work against what it brings; what it is worth is the builder's to say.
 */
export function worthSentence(weighing: Weighing): string {
  const now = weighing.ways[0];
  if (now === undefined) return '';
  const finished = wayNamed(weighing, 'finished');
  if (finished) {
    return `${hoursText(finished.hours)} of work on ${counted(finished.newTubes, 'tube')}: ${lowered(widening(now, finished))}`;
  }
  const mended = wayNamed(weighing, 'mended');
  if (mended) {
    const gain = gainIn(now, mended);
    return `${hoursText(mended.hours)} of work on ${counted(mended.newTubes, 'tube')}: the mended array ${gain || 'loses its faulty tubes; how much farther it sees is not known'}.`;
  }
  const rebuilt = weighing.ways.find(({ way }) => way.startsWith('rebuilt'));
  if (rebuilt) {
    const gain = gainIn(now, rebuilt);
    return `${hoursText(rebuilt.hours)} of work on ${counted(rebuilt.newTubes, 'tube')}: the rebuilt array ${gain || 'cannot be compared without a measured resolving distance'}.`;
  }
  return 'No hole is empty and no tube is on the pull list: only a rebuild would change it.';
}

const lowered = (sentence: string) => sentence.charAt(0).toLowerCase() + sentence.slice(1);
