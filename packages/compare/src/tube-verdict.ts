import type { CellResult, Fault, TubeChange, TubeVerdict } from '@twolamp/session';
import type { MatchedTube } from './matched-tubes.js';

type Changes = Pick<TubeChange, 'transmission' | 'pointing'>;

/** Whether the figure that shows this fault has changed significantly between the sessions. */
function bearsOut(
  fault: Fault,
  { transmission, pointing }: Changes,
  { earlier, later }: MatchedTube,
): boolean {
  const light = transmission?.significant === true;
  const aim = pointing?.significant === true;
  switch (fault) {
    case 'misaimed':
      return aim;
    case 'bent':
      return light || aim;
    case 'leaky':
      // One tube's crosstalk has no test of its own: it suffices that both sessions measured it.
      return earlier.crosstalk !== null && later.crosstalk !== null;
    default:
      return light;
  }
}

/** Whether a tube that is faulty in both sessions has moved away from what is typical by more than chance. */
function isWorse({ transmission, pointing }: Changes, { earlier, later }: MatchedTube): boolean {
  const off = ({ transmission: { relative } }: CellResult) =>
    relative === null ? 0 : Math.abs(relative - 1);
  const aside = (cell: CellResult) => cell.pointing?.errorDeg ?? 0;
  return (
    (transmission?.significant === true && off(later) > off(earlier)) ||
    (pointing?.significant === true && aside(later) > aside(earlier))
  );
}

/** A tube's verdict; `unclear` where the sessions name a different fault without a change that shows. */
export interface Judgement {
  readonly verdict: TubeVerdict;
  readonly unclear: boolean;
}

/**
 * What became of a tube.
 *
 * - mended: faulty earlier, healthy later, and the figure that showed the fault has changed significantly: light for blocked,
 *   weak and open, pointing for misaimed, either for bent; for leaky both sessions have tested the tube
 * - new fault: the same the other way round
 * - worse: faulty in both, and light or pointing has moved significantly farther from what is typical
 * - still faulty: faulty in both otherwise, improved or not
 * - changed: healthy in both, with a significant change of light or pointing
 * - unchanged: everything else; a fault that comes or goes without a significant change lies at the threshold of
 *   naming it, or one session had no shots to find it, and shows no change of the tube
 */
export function tubeVerdict(changes: Changes, tube: MatchedTube): Judgement {
  const [before, after] = [tube.earlier.fault, tube.later.fault];
  if (before !== 'none' && after !== 'none') {
    return { verdict: isWorse(changes, tube) ? 'worse' : 'still faulty', unclear: false };
  }
  if (before === 'none' && after === 'none') {
    const isChanged = changes.transmission?.significant === true || changes.pointing?.significant === true;
    return { verdict: isChanged ? 'changed' : 'unchanged', unclear: false };
  }
  const fault = before === 'none' ? after : before;
  if (!bearsOut(fault, changes, tube)) return { verdict: 'unchanged', unclear: true };
  return { verdict: before === 'none' ? 'new fault' : 'mended', unclear: false };
}
