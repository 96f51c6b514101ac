import { type Random, tubeAxis, tubeBack, tubeLayout } from '@twolamp/optics';
import type { CellResult, Result } from '@twolamp/session';

const RAD_PER_DEG = Math.PI / 180;
const slope = (deg: number) => Math.tan(deg * RAD_PER_DEG);
const degrees = (value: number) => Math.atan(value) / RAD_PER_DEG;

/** The same array with a tube in every hole. */
export function finishedGeometry(array: Result['array']): Result['array'] {
  return array.map ? { ...array, map: array.map.map((line) => line.replaceAll('o', '#')) } : array;
}

/**
 * The result of the array with a tube in every hole: the new ones are drawn from the healthy ones, each with a donor's
 * transmission, acceptance width and departure from where it should look.
 *
 * @param random - draws the donors
 * @throws RangeError where no healthy tube is known
 */
export function finishedResult(result: Result, random: Random): Result {
  const { array } = result;
  const finished = finishedGeometry(array);
  const [now, then] = [tubeLayout(array), tubeLayout(finished)];
  const tubes = result.cells.filter(({ state }) => state === 'filled');
  const healthy = tubes.flatMap((cell, tube) => (cell.fault === 'none' ? [{ cell, tube }] : []));
  if (healthy.length === 0) throw new RangeError('a healthy tube is needed to draw new ones from');
  const cells = Array.from({ length: then.count }, (_, k): CellResult => {
    const known = now.at(then.row[k], then.column[k]);
    const { cell, tube } =
      known >= 0
        ? { cell: tubes[known], tube: known }
        : healthy[Math.floor(random.uniform() * healthy.length)];
    const { acrossMm, upMm } = tubeBack(finished, k);
    const place = {
      cell: k + 1,
      row: then.row[k],
      column: then.column[k],
      atMm: { across: acrossMm, up: upMm },
    };
    if (known >= 0) return { ...cell, ...place };
    const [own, due] = [tubeAxis(array, tube), tubeAxis(finished, k)];
    return {
      ...cell,
      ...place,
      crosstalk: null,
      pointing: cell.pointing && {
        ...cell.pointing,
        acrossDeg: degrees(due.across + slope(cell.pointing.acrossDeg) - own.across),
        upDeg: degrees(due.up + slope(cell.pointing.upDeg) - own.up),
      },
    };
  });
  // Cells are numbered over all holes: those of the pull list and of crosstalk stay as they are.
  return { ...result, array: finished, cells };
}
