import { tubeAxis, tubeFront } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { halfFieldMm, type LampPlace } from './draw-lamps.js';

const OF_GROUP = 3;
/** Lamps of a group stand this far from its middle, a share of the slope bore ÷ length at which a black tube goes dark. */
const RADIUS = 0.7;
/** The groups' middles, shares of half the field. */
const MIDDLES = [
  { across: -0.45, up: 0.4 },
  { across: 0.45, up: 0.4 },
  { across: 0, up: -0.4 },
] as const;
/** Tubes nearer a group's middle than this share of its radius look well between its lamps. */
const INNER = 0.7;
/** Groups stand apart by this share of half the field at least. */
const APART = 0.6;

/**
 * Nine lamp places in three triangles, each so small that all its lamps light the tubes that look between them: a tube's direction
 * takes three lamps around it.
 */
export function lampGroups(array: ArraySpec, distanceMm: number): LampPlace[] {
  const half = halfFieldMm(array, distanceMm);
  const radius = (RADIUS * distanceMm * array.tubeBoreMm) / array.tubeLengthMm;
  return MIDDLES.flatMap(({ across, up }) => {
    const tip = up > 0 ? -Math.PI / 2 : Math.PI / 2;
    return Array.from({ length: OF_GROUP }, (_, n) => {
      const angle = tip + (2 * Math.PI * n) / OF_GROUP;
      return {
        acrossMm: across * half.acrossMm + radius * Math.cos(angle),
        upMm: up * half.upMm + radius * Math.sin(angle),
      };
    });
  });
}

const middleOf = (places: readonly LampPlace[]): LampPlace => ({
  acrossMm: places.reduce((sum, place) => sum + place.acrossMm, 0) / places.length,
  upMm: places.reduce((sum, place) => sum + place.upMm, 0) / places.length,
});

/**
 * {@link lampGroups}, moved one after another to where most of the given tubes look between a group's lamps.
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
  const places = lampGroups(array, distanceMm);
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
