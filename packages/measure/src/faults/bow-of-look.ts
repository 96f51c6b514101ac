import { type Random, type TubeShape, traceAcceptance, type Wall } from '@twolamp/optics';

/** Bow in mm of a tube that looks aside by a slope. */
export type BowOfLook = (slope: number) => number;

/** Bows traced, in bores. */
const TRACED_BORES = [0.2, 0.45, 0.7, 1] as const;
/** A centre of gravity needs few. */
const RAYS = 48;
/** A wall that guides less light aside than this share of the entrance's tangent makes no bow known. */
const LEAST_SHARE = 0.3;

/** The entrance's tangent leaves the chord by 4h/L, and the tube looks along it: so it is where the wall is a mirror. */
export function bowOfTangent({ lengthMm }: TubeShape): BowOfLook {
  return (slope) => (slope * lengthMm) / 4;
}

/**
 * The same for a real wall, where the centre of gravity of what the tube sees lies short of the tangent, the more so the
 * less it mirrors and the smaller the bow: bent tubes are traced, and the look of each turned about. Traced when first
 * asked.
 *
 * @param tube - straight
 */
export function bowOfWall(tube: TubeShape, wall: Wall, random: Random): BowOfLook {
  const tangent = bowOfTangent(tube);
  let traced: { readonly slope: number; readonly share: number }[] | null = null;
  const trace = () =>
    TRACED_BORES.map((bores) => {
      const bowMm = bores * tube.boreMm;
      const { centre } = traceAcceptance({ ...tube, bowMm }, wall, random, { raysPerDirection: RAYS });
      const slope = Math.hypot(centre.across, centre.up);
      return { slope, share: Math.max(LEAST_SHARE, tangent(slope) / bowMm) };
    });
  return (slope) => {
    traced ??= trace();
    return tangent(slope) / shareAt(traced, slope);
  };
}

function shareAt(
  traced: readonly { readonly slope: number; readonly share: number }[],
  slope: number,
): number {
  const next = traced.findIndex((one) => one.slope >= slope);
  if (next < 0) return traced.at(-1)!.share;
  if (next === 0) return traced[0]!.share;
  const [low, high] = [traced[next - 1]!, traced[next]!];
  return low.share + ((slope - low.slope) / (high.slope - low.slope)) * (high.share - low.share);
}
