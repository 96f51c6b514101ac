/** What a pair shot told. */
export interface PairReading {
  readonly distanceM: number;
  readonly dip: number | null;
}

/** Where the next pair would tell most. */
export interface NextDistance {
  readonly distanceM: number;
  readonly because: 'nothing shot yet' | 'all separate so far' | 'none separate so far' | 'between' | 'nudge';
}

/** Step outwards while the criterion isn't crossed yet: the plan's own margin around its prediction. */
const STEP = 1.5;
/** From here on the neighbours are as near as makes no difference, and another place across tells more. */
const CLOSE = 1.08;

/**
 * The distance at which the next pair shot would tell most of the resolving distance.
 *
 * Until the criterion is crossed: a step farther, or nearer. Then halfway (in ratio) into the gap between the farthest
 * distance that is separate on the average and the nearest one beyond that isn't: a bisection, which needs no model of the
 * curve. Where that gap is closed, the same place again with the lamps nudged sideways.
 *
 * @param pairs - as measured
 * @param requiredDip - least dip that counts as separate
 * @param firstM - where to begin
 */
export function nextPairDistance(
  pairs: readonly PairReading[],
  requiredDip: number,
  firstM: number,
): NextDistance {
  const dips = new Map<number, number[]>();
  for (const { distanceM, dip } of pairs) {
    if (dip !== null) dips.set(distanceM, [...(dips.get(distanceM) ?? []), dip]);
  }
  const shot = [...dips]
    .map(([distanceM, list]) => ({
      distanceM,
      separate: list.reduce((sum, dip) => sum + dip, 0) / list.length >= requiredDip,
    }))
    .sort((a, b) => a.distanceM - b.distanceM);
  if (shot.length === 0) return { distanceM: firstM, because: 'nothing shot yet' };
  const last = shot.findLast((one) => one.separate);
  if (last === undefined) {
    return { distanceM: shot[0]!.distanceM / STEP, because: 'none separate so far' };
  }
  const next = shot.find((one) => one.distanceM > last.distanceM);
  if (next === undefined) return { distanceM: last.distanceM * STEP, because: 'all separate so far' };
  const middle = Math.sqrt(last.distanceM * next.distanceM);
  return { distanceM: middle, because: next.distanceM / last.distanceM > CLOSE ? 'between' : 'nudge' };
}
