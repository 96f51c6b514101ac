import {
  type Acceptance,
  glossFromThroughput,
  glossFromWidth,
  type Random,
  resolveWall,
  traceAcceptance,
  tubeOf,
  type Wall,
  type WallName,
} from '@twolamp/optics';
import {
  finding,
  type PreviewFinding,
  type Result,
  typicalAbsolute,
  typicalWidthDeg,
} from '@twolamp/session';

/** How a typical tube of the array takes in light. */
export interface TypicalAcceptance {
  /** Of light from the scene's distance. */
  readonly near: Acceptance;
  /** Full width at half maximum that a tube without a width of its own has, of light from there. */
  readonly widthRad: number;
  /** Width of light from there ÷ width of light from afar, which results state. */
  readonly widening: number;
  /** Share of even light into the bore that comes out, by theory for this wall. */
  readonly evenThroughput: number;
  readonly findings: readonly PreviewFinding[];
}

/** What the width is taken from where no sweep shows it. */
type Assumed = Extract<PreviewFinding, { code: 'acceptance-assumed' }>['values']['from'];

const RAD_PER_DEG = Math.PI / 180;

/**
 * The acceptance of the array's typical tube, from the best that is known of it: its measured width and wall, the wall
 * the builder states, its absolute transmission; otherwise a black wall.
 *
 * @param wall - what the tubes are like inside, as stated; with a measured width only its material counts
 */
export function typicalAcceptance(
  result: Result,
  distanceMm: number,
  random: Random,
  wall: Wall | WallName | undefined,
): TypicalAcceptance {
  const tube = tubeOf(result.array);
  const near = (of: Wall | WallName) => traceAcceptance(tube, of, random, { lampDistanceMm: distanceMm });
  const stated = resolveWall(wall ?? 'matte black');
  const withGloss = (gloss: number): Wall => ({ ...stated, gloss, diffuse: 0 });
  const derived = (of: Wall, widthRad: number | null, from: Assumed | null): TypicalAcceptance => {
    const acceptance = near(of);
    const far = traceAcceptance(tube, of, random);
    const widening = acceptance.widthRad / far.widthRad;
    return {
      near: acceptance,
      widthRad: widening * (widthRad ?? far.widthRad),
      widening,
      evenThroughput: far.evenThroughput,
      findings: from === null ? [] : [finding('acceptance-assumed', 'acceptance', { from })],
    };
  };

  const widthDeg = typicalWidthDeg(result);
  if (widthDeg !== null && widthDeg > 0) {
    const widthRad = widthDeg * RAD_PER_DEG;
    const { gloss } = glossFromWidth(tube, widthRad, stated);
    return derived(wall === undefined && result.wall ? result.wall : withGloss(gloss), widthRad, null);
  }
  if (wall !== undefined) return derived(stated, null, 'the stated wall');
  if (result.wall) return derived(result.wall, null, 'absolute transmission');
  const absolute = typicalAbsolute(result);
  if (absolute !== null && absolute.value < 1) {
    const { gloss } = glossFromThroughput(tube, absolute.value, stated);
    return derived(withGloss(gloss), null, 'absolute transmission');
  }
  return derived(withGloss(0), null, 'black walls');
}
