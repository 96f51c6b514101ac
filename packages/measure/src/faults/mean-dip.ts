import { interpolateEven, thin } from '@twolamp/numeric';
import { tubeAxis, tubeFront } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import {
  type AcceptanceProfile,
  evaluateShape,
  SHAPE_SIZE,
  shapeOfLight,
  type TubeShape,
  roundShape,
} from '../pointing/tube-shape.js';
import { type PictureCell, type PictureDip, type PictureReading, pictureDip } from './picture-dip.js';

/** One tube of the measured model. */
export interface ModelTube {
  /** Direction of a typical tube in its place, slopes off its nominal axis. */
  readonly fieldAcross: number;
  readonly fieldUp: number;
  /** Its own light in even light, a typical tube's = 1, without light that leaks in. */
  readonly light: number;
  /** Its own acceptance, of any height; null = a typical one's. */
  readonly shape: TubeShape | null;
  /** Share of its light that leaves by another tube; null where no leak is known. */
  readonly leak: { readonly to: number; readonly share: number } | null;
}

/** Two lamps side by side at the distance for which the dip is computed. */
export interface LampPair {
  readonly spacingMm: number;
  readonly distanceMm: number;
}

/** Limit of computing time: the pair's middle is put on this many cells at most, evenly spread. */
const MOST_CENTRES = 200;

/** The picture with the pair's middle on one cell. */
interface View {
  readonly centre: number;
  readonly picture: PictureDip;
}

/** A tube that shows in a view. */
interface Appearance {
  readonly view: View;
  /** Its number among the view's cells. */
  readonly cell: number;
}

/** The dip of two lamps averaged over all places of the array, and how it changes with single tubes. */
export interface MeanDip {
  readonly mean: number;
  /** Mean dip with some tubes changed. */
  readonly with: (changed: ReadonlyMap<number, ModelTube>) => number;
}

/**
 * The mean dip between the images of two lamps side by side, with their middle on each cell in turn, computed from the
 * measured model of the tubes.
 *
 * @param tubes - N in reading order
 * @param acceptance - of a typical tube
 */
export function meanDip(
  array: ArraySpec,
  acceptance: AcceptanceProfile,
  tubes: readonly ModelTube[],
  pair: LampPair,
): MeanDip {
  const gradient = new Float64Array(SHAPE_SIZE);
  const half = pair.spacingMm / pair.distanceMm / 2;
  const centred = roundShape(1, 0, 0);
  const oneLamp = (across: number) => evaluateShape(acceptance.profile, centred, across, 0, gradient);
  const reading: PictureReading = {
    due: tabulated((along) => oneLamp(along - half) + oneLamp(along + half), half + acceptance.halfRadius),
    half,
    halfWidth: acceptance.halfRadius,
  };
  const places = tubes.map((_, n) => ({ front: tubeFront(array, n), axis: tubeAxis(array, n) }));
  const shapes = tubes.map((tube) => ownShape(acceptance, tube));
  const reach = acceptance.profile.knots.at(-1)!;

  /** Slopes off a tube's nominal axis to the middle between the lamps, which lies on another tube's axis. */
  const middleFrom = (tube: number, centre: number): [number, number] => {
    const here = places[tube];
    const there = places[centre];
    const off = (axis: 'across' | 'up') =>
      (there.front[`${axis}Mm`] - here.front[`${axis}Mm`]) / pair.distanceMm +
      there.axis[axis] -
      here.axis[axis];
    return [off('across'), off('up')];
  };
  const lightFrom = (shape: TubeShape, [across, up]: readonly [number, number]): number =>
    evaluateShape(acceptance.profile, shape, across - half, up, gradient) +
    evaluateShape(acceptance.profile, shape, across + half, up, gradient);
  /** Light out of a tube, with leaks from and into it. */
  const lightOut = (tube: number, centre: number, changed: ReadonlyMap<number, ModelTube>): number => {
    const entering = (n: number): number => {
      const other = changed.get(n);
      return lightFrom(other ? ownShape(acceptance, other) : shapes[n], middleFrom(n, centre));
    };
    return (leaksInto.get(tube) ?? []).reduce((sum, from) => {
      const { leak } = changed.get(from) ?? tubes[from];
      // `entering` is a leaky tube's light without its leak, so the leak is share ÷ (1 − share) of it.
      return leak === null ? sum : sum + (leak.share / (1 - leak.share)) * entering(from);
    }, entering(tube));
  };
  const leaksInto = new Map<number, number[]>();
  tubes.forEach(({ leak }, n) => {
    if (leak) leaksInto.set(leak.to, [...(leaksInto.get(leak.to) ?? []), n]);
  });

  const centres = thin([...tubes.keys()], MOST_CENTRES);
  const nothing = new Map<number, ModelTube>();
  const appearances = tubes.map((): Appearance[] => []);
  const views = centres.map((centre): View => {
    const cells = tubes.flatMap((tube, n): (PictureCell & { tube: number })[] => {
      const [across, up] = middleFrom(n, centre);
      if (Math.abs(across) > half + reach || Math.abs(up) > reach) return [];
      const typical = lightFrom(roundShape(1, tube.fieldAcross, tube.fieldUp), [across, up]);
      if (typical === 0) return [];
      // Along its own axis a tube lies at slope 0, so its place relative to the lamps is minus their slopes.
      return [{ tube: n, along: tube.fieldAcross - across, aside: tube.fieldUp - up, typical }];
    });
    const light = Float64Array.from(cells, ({ tube }) => lightOut(tube, centre, nothing));
    const view = { centre, picture: pictureDip(reading, cells, light) };
    for (const [cell, { tube }] of cells.entries()) appearances[tube].push({ view, cell });
    return view;
  });
  const mean = views.reduce((sum, { picture }) => sum + picture.dip, 0) / views.length;

  return {
    mean,
    with: (changed) => {
      const touched = new Set(changed.keys());
      for (const n of changed.keys()) {
        const { leak } = tubes[n];
        if (leak) touched.add(leak.to);
      }
      const changes = new Map<View, [number, number][]>();
      for (const tube of touched) {
        for (const { view, cell } of appearances[tube]) {
          const ofView = changes.get(view) ?? [];
          changes.set(view, ofView);
          ofView.push([cell, lightOut(tube, view.centre, changed)]);
        }
      }
      let change = 0;
      for (const [{ picture }, ofView] of changes) change += picture.dipWith(ofView) - picture.dip;
      return mean + change / views.length;
    },
  };
}

const TABLE_NODES = 600;

/** Table of an even function with linear interpolation, since the dip evaluates it many times. */
function tabulated(light: (along: number) => number, reach: number): (along: number) => number {
  const table = Float64Array.from({ length: TABLE_NODES + 2 }, (_, n) => light((n * reach) / TABLE_NODES));
  return (along) => interpolateEven(table, (Math.abs(along) * TABLE_NODES) / reach);
}

/** A tube's acceptance, scaled to its even light. */
function ownShape(
  acceptance: AcceptanceProfile,
  { fieldAcross, fieldUp, shape, light }: ModelTube,
): TubeShape {
  const typical = roundShape(1, fieldAcross, fieldUp);
  return shapeOfLight(acceptance, shape ?? typical, typical, light);
}
