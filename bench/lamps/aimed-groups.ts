import { tubeAxis, tubeFront } from '@twolamp/optics';
import { type LampPlace, trianglePlaces } from '@twolamp/plan';
import type { ArraySpec } from '@twolamp/session';

const OF_GROUP = 3;
/** Tubes nearer a group's middle than this share of its radius look well between its lamps. */
const INNER = 0.7;
/** Groups stand apart by this share of half the field at least. */
const APART = 0.6;

const middleOf = (places: readonly LampPlace[]): LampPlace => ({
  acrossMm: places.reduce((sum, place) => sum + place.acrossMm, 0) / places.length,
  upMm: places.reduce((sum, place) => sum + place.upMm, 0) / places.length,
});

/**
 * {@link trianglePlaces}, moved one after another to where most of the given tubes look between a group's lamps.
 *
 * @param tubes - numbers of the tubes, from 0
 */
export function aimedGroups(array: ArraySpec, distanceMm: number, tubes: readonly number[]): LampPlace[] {
  const looks = Array.from({ length: array.rows * array.columns }, (_, n): LampPlace => {
    const [front, axis] = [tubeFront(array, n), tubeAxis(array, n)];
    return {
      acrossMm: front.acrossMm + axis.across * distanceMm,
      upMm: front.upMm + axis.up * distanceMm,
    };
  });
  const half = {
    acrossMm: Math.max(...looks.map(({ acrossMm }) => acrossMm)),
    upMm: Math.max(...looks.map(({ upMm }) => upMm)),
  };
  const places = trianglePlaces(array, distanceMm);
  const groups = [0, 1, 2].map((n) => places.slice(n * OF_GROUP, (n + 1) * OF_GROUP));
  const radius = Math.hypot(
    places[0]!.acrossMm - middleOf(groups[0]!).acrossMm,
    places[0]!.upMm - middleOf(groups[0]!).upMm,
  );
  const open = new Set(tubes);
  const chosen: LampPlace[] = [];
  const inside = (middle: LampPlace) =>
    [...open].filter(
      (n) => Math.hypot(looks[n]!.acrossMm - middle.acrossMm, looks[n]!.upMm - middle.upMm) < INNER * radius,
    );
  return groups.flatMap((group) => {
    const free = looks.filter(
      (look) =>
        Math.abs(look.acrossMm) < half.acrossMm - INNER * radius &&
        Math.abs(look.upMm) < half.upMm - INNER * radius &&
        chosen.every(
          (other) =>
            Math.hypot(
              (look.acrossMm - other.acrossMm) / half.acrossMm,
              (look.upMm - other.upMm) / half.upMm,
            ) > APART,
        ),
    );
    const start = middleOf(group);
    const middle = free.reduce(
      (best, look) => (inside(look).length > inside(best).length ? look : best),
      start,
    );
    for (const n of inside(middle)) open.delete(n);
    chosen.push(middle);
    return group.map(({ acrossMm, upMm }) => ({
      acrossMm: acrossMm - start.acrossMm + middle.acrossMm,
      upMm: upMm - start.upMm + middle.upMm,
    }));
  });
}
