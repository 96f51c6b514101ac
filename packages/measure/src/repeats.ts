import { disagreement, type LitShot } from '@twolamp/flux';
import { type ArraySpec, type Finding, finding, namedPlaces, type Shot } from '@twolamp/session';

/** Shots that are repeats of each other, together. @param keyOf - alike for repeats */
export function repeatsOf<S extends Shot>(
  shots: readonly LitShot<S>[],
  keyOf: (shot: S) => string,
): LitShot<S>[][] {
  const groups = new Map<string, LitShot<S>[]>();
  for (const one of shots) groups.set(keyOf(one.shot), [...(groups.get(keyOf(one.shot)) ?? []), one]);
  return [...groups.values()];
}

/** Names repeats that disagree in some cells: no decoder sees a changed byte in a plain TIFF, but the other repeats do. */
export function repeatFindings(array: ArraySpec, groups: readonly (readonly LitShot<Shot>[])[]): Finding[] {
  return groups.flatMap((group) => {
    const found = disagreement(group.map(({ light }) => light));
    if (found === null) return [];
    const odd = found.odd ?? group.length - 1;
    return [
      finding('repeats-disagree', group[odd].shot.photo, {
        against: group[odd === 0 ? 1 : 0].shot.photo,
        isOdd: found.odd !== null,
        disagreeing: found.cells.length,
        first: namedPlaces(array, found.cells),
      }),
    ];
  });
}
