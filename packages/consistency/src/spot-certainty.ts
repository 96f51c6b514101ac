import type { CellsLit, FittedSpots, Spots } from './spots.js';
import { SPOTS } from './tuning.js';

/**
 * Whether light shows a place: a lone cell's doesn't, its image is as narrow as the fit may make it; nor does the slope of
 * an image whose middle lies where no tube is.
 */
function isReadable({ widthLn, placeSigma, across, up }: FittedSpots, lit: CellsLit): boolean {
  const reach = Math.max(SPOTS.nearestTube, Math.exp(widthLn));
  return (
    widthLn > SPOTS.leastWidthLn &&
    placeSigma > 0 &&
    placeSigma < SPOTS.mostPlaceSigma &&
    lit.across.some((x, k) => Math.hypot(x - across, lit.up[k]! - up) <= reach)
  );
}

/**
 * How far the tubes that see an image lean to one side of its middle: their centre of gravity, weighted by a Gaussian, in
 * widths. Half a Gaussian's mean is √(2/π) = 0.8.
 */
function leaningOf({ across, up, usable }: CellsLit, x: number, y: number, width: number): number {
  let [sum, towardsX, towardsY] = [0, 0, 0];
  for (let k = 0; k < across.length; k++) {
    if (!usable[k]) continue;
    const [dx, dy] = [(across[k]! - x) / width, (up[k]! - y) / width];
    const weight = Math.exp(-(dx * dx + dy * dy) / 2);
    sum += weight;
    towardsX += weight * dx;
    towardsY += weight * dy;
  }
  return sum > 0 ? Math.hypot(towardsX, towardsY) / sum : Number.POSITIVE_INFINITY;
}

/** An image at the array's rim rests on one flank of the profile: its place, width and peak are known less well than the fit says. */
function lessSure(spots: FittedSpots, lit: CellsLit): Spots {
  const { across, up, apart } = spots;
  const width = Math.exp(spots.widthLn);
  const leaningBy = (share: number) =>
    leaningOf(lit, across + share * (apart?.across ?? 0), up + share * (apart?.up ?? 0), width);
  const leaning = apart ? Math.max(leaningBy(-0.5), leaningBy(0.5)) : leaningBy(0);
  const factor = Math.min(SPOTS.mostLessSure, Math.max(1, (leaning / SPOTS.leaning) ** 2));
  return {
    ...spots,
    placeSigma: factor * spots.placeSigma,
    apart: apart && { ...apart, sigma: factor * apart.sigma },
    widthLnSigma: factor * spots.widthLnSigma,
    peakLnSigma: factor * spots.peakLnSigma,
    leaning,
  };
}

/** Half the smaller side of the box around the cells that can be trusted, pitches. */
export function halfSide({ across, up, usable }: CellsLit): number {
  const spanOf = (places: Float64Array) => {
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    places.forEach((place, k) => {
      if (!usable[k]) return;
      least = Math.min(least, place);
      most = Math.max(most, place);
    });
    return most - least;
  };
  return Math.min(spanOf(across), spanOf(up)) / 2;
}

/** Where two images are about as wide as the array, their separation hangs on the shape of their profile, and with it width and peak. */
function withProfileError(spots: FittedSpots): FittedSpots {
  const width = Math.exp(spots.widthLn);
  if (!spots.apart || spots.widthShare < SPOTS.wideShare) return spots;
  return {
    ...spots,
    apart: { ...spots.apart, sigma: Math.hypot(spots.apart.sigma, SPOTS.wideApart * width) },
    widthLnSigma: Math.hypot(spots.widthLnSigma, SPOTS.wideLn),
    peakLnSigma: Math.hypot(spots.peakLnSigma, SPOTS.wideLn),
  };
}

/** What a fit gave, as sure as it can be; null where it shows no place. */
export function asReadable(spots: FittedSpots, lit: CellsLit): Spots | null {
  return isReadable(spots, lit) ? lessSure(withProfileError(spots), lit) : null;
}
