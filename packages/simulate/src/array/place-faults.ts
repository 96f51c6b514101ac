import { type Random, tubeLayout } from '@twolamp/optics';
import type { ListedFault } from '../plan/faults-format.js';
import type { Plan } from '../plan/plan-format.js';
import { everyPlace } from './every-place.js';
import { neighbours } from './neighbours.js';

/**
 * Which tube has which fault: those the plan lists, then those it strews by chance.
 *
 * Strewn faults take free tubes only, so that no tube has two; where the array is too full for all of them, fewer
 * are placed. Leaky tubes go to the tubes of single shots first, and leak into a neighbour.
 *
 * @returns by index of {@link everyPlace}
 */
export function placeFaults(plan: Plan, random: Random): Map<number, ListedFault> {
  const { columns } = plan.array;
  const { faults } = plan;
  const packed = plan.array.arrangement === 'packed';
  const indexOf = (cell: { row: number; column: number }) =>
    packed ? cell.column - 1 : (cell.row - 1) * columns + cell.column - 1;
  const placed = new Map<number, ListedFault>(faults.list.map((fault) => [indexOf(fault), fault]));
  const places = everyPlace(plan.array);
  const placeOf = (index: number) => ({ row: places[index].row, column: places[index].column });
  const freeOnes = () => Array.from(places.keys()).filter((index) => !placed.has(index) && isTube(index));
  const isTube = (index: number) => {
    const { row, column } = placeOf(index);
    return tubeLayout(plan.array).at(row, column) >= 0;
  };
  const between = ([low, high]: readonly [number, number]) => low + (high - low) * random.uniform();
  const pick = (from: readonly number[]) => from[Math.floor(random.uniform() * from.length)];

  const strew = (count: number, faultAt: (index: number) => ListedFault, among = freeOnes) => {
    for (let i = 0; i < count; i++) {
      const index = pick(among());
      if (index === undefined) return;
      placed.set(index, faultAt(index));
    }
  };
  const blockedAt = (index: number): ListedFault => ({ ...placeOf(index), fault: 'blocked' });

  for (let cluster = 0; cluster < faults['blocked-clusters']; cluster++) {
    const members = new Set<number>();
    const edge = () =>
      members.size === 0
        ? freeOnes()
        : [...members]
            .flatMap((index) => neighbours(plan.array, index))
            .filter((index) => !placed.has(index) && isTube(index));
    strew(
      faults['cluster-size'],
      (index) => {
        members.add(index);
        return blockedAt(index);
      },
      edge,
    );
  }
  const singles = plan.shots.flatMap((shot) => {
    if (shot.kind !== 'single') return [];
    return [
      shot.tube === undefined ? indexOf({ row: shot.row ?? 0, column: shot.column ?? 0 }) : shot.tube - 1,
    ];
  });
  const leakCandidates = () => {
    const free = singles.filter((index) => !placed.has(index) && isTube(index));
    return free.length > 0 ? free : freeOnes();
  };
  strew(
    faults.leaky,
    (index) => ({
      ...placeOf(index),
      fault: 'leaky',
      to: placeOf(pick(neighbours(plan.array, index).filter(isTube))!),
      share: between(faults['leak-share']),
    }),
    leakCandidates,
  );
  strew(faults.blocked, blockedAt);
  strew(faults.weak, (index) => ({
    ...placeOf(index),
    fault: 'weak',
    transmission: between(faults['weak-transmission']),
  }));
  strew(faults.bent, (index) => ({
    ...placeOf(index),
    fault: 'bent',
    bow: between(faults.bow),
    direction: 360 * random.uniform(),
  }));
  strew(faults.misaimed, (index) => {
    const angle = 2 * Math.PI * random.uniform();
    const shift = between(faults.shift);
    return {
      ...placeOf(index),
      fault: 'misaimed',
      across: shift * Math.cos(angle),
      up: shift * Math.sin(angle),
    };
  });
  strew(faults.open, (index) => ({ ...placeOf(index), fault: 'open' }));
  return placed;
}
