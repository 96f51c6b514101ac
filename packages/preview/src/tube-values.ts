import { tubeOfCell } from '@twolamp/optics';
import { type CellResult, finding, type PreviewFinding, type Result } from '@twolamp/session';
import { crosstalkLeaks, mixLeaks, unmixLeaks } from './leaks.js';
import { type Reach, type Scene, sceneGrid } from './scene.js';
import { type Glimpse, glimpse, type Sight, type SightProfile } from './sight.js';
import type { Sights } from './sights.js';
import { LOOKS_INSIDE, NARROWEST, PIXELS_PER_WIDTH } from './tuning.js';

/** The array as it is, with its pull list replaced by typical tubes, and made of typical tubes alone. */
export type PreviewState = 'asMeasured' | 'repaired' | 'perfect';
export type ByState<T> = Readonly<Record<PreviewState, T>>;

/** The same for each state. */
export function byState<T>(of: (state: PreviewState) => T): ByState<T> {
  return { asMeasured: of('asMeasured'), repaired: of('repaired'), perfect: of('perfect') };
}

/** Light of a scene that comes out of each tube; reading order. */
export interface TubeValues {
  /** 1 = what a typical tube gives of a white scene that fills its view. */
  readonly light: ByState<Float64Array>;
  /** 1 where a typical tube in this place looks at the scene, 0 where it looks mostly past its edges. */
  readonly looksInside: Uint8Array;
  readonly findings: readonly PreviewFinding[];
}

/**
 * Light of a scene through every tube: what the tube sees, times its relative transmission; what strays to others goes
 * with the measured crosstalk, which relative transmission has in it and which is taken out of it first.
 *
 * @param profile - the radial course of acceptance that all tubes share
 */
export function tubeValues(result: Result, scene: Scene, sights: Sights, profile: SightProfile): TubeValues {
  const { cells, pull, array } = result;
  const { distanceMm } = scene;
  const grid = sceneGrid(scene, distanceMm * sceneStep(sights), reachOf(sights, profile, distanceMm));
  const look = (sight: Sight): Glimpse => glimpse(grid, distanceMm, profile, sight);
  const typical = sights.typical.map(look);
  const asMeasured = sights.asMeasured.map((sight, i) =>
    sight === sights.typical[i] ? typical[i] : look(sight),
  );

  const pulled = new Set(pull.map(({ cell }) => tubeOfCell(array, cell)));
  const isTypical = {
    asMeasured: () => false,
    repaired: (cell: number) => pulled.has(cell),
    perfect: () => true,
  };
  const leaks = byState((state) => crosstalkLeaks(result, isTypical[state]));
  const { entered: share, stopped } = unmixLeaks(Float64Array.from(cells, relativeOf), leaks.asMeasured);
  const light = byState((state) => {
    const entered = share.map((own, i) =>
      isTypical[state](i) ? typical[i].light : own * asMeasured[i].light,
    );
    return mixLeaks(entered, leaks[state]);
  });
  return {
    light,
    looksInside: Uint8Array.from(typical, ({ inside }) => (inside < LOOKS_INSIDE ? 0 : 1)),
    findings: stopped === 'converged' ? [] : [finding('crosstalk-too-strong', 'crosstalk', {})],
  };
}

/** A tube of unknown relative transmission counts as typical if light was found, otherwise as blocked. */
function relativeOf({ seen, transmission }: CellResult): number {
  return Math.max(0, transmission.relative ?? (seen ? 1 : 0));
}

/** How far from the array's normal any tube sees the scene. */
function reachOf({ asMeasured, typical }: Sights, profile: SightProfile, distanceMm: number): Reach {
  let acrossMm = 0;
  let upMm = 0;
  for (const sight of [...asMeasured, ...typical]) {
    const radius = profile.reach * sight.halfWidth;
    const farthest = (front: number, slope: number) =>
      Math.abs(front + slope * distanceMm) + radius * distanceMm;
    acrossMm = Math.max(acrossMm, farthest(sight.frontAcrossMm, sight.slopeAcross));
    upMm = Math.max(upMm, farthest(sight.frontUpMm, sight.slopeUp));
  }
  return { acrossMm, upMm };
}

/** Side of a scene pixel, as a slope. */
function sceneStep({ asMeasured, typical }: Sights): number {
  const least = NARROWEST * typical[0].halfWidth;
  const narrowest = asMeasured.reduce((half, sight) => Math.min(half, sight.halfWidth), Infinity);
  return (2 * Math.max(least, narrowest)) / PIXELS_PER_WIDTH;
}
