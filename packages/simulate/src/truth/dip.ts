import { lampSeparationCells, lampSpreadCells, type PairProfile, pairDip } from '@twolamp/optics';
import type { Bench } from '../array/bench.js';
import { nominalKernel } from '../array/crosstalk.js';
import type { Tube } from '../array/tubes.js';
import { type Lamp, lampLight } from '../shots/lamp-light.js';

/**
 * One lamp's light in an array without fault, as if a tube stood anywhere along a line through the lamp's image: the
 * mean over tubes that look astray as the healthy ones do.
 *
 * @param lineRad - direction of the line, 0 = across
 * @returns light against the place along the line, in cells from the lamp's image; crosstalk included
 */
function continuousResponse(bench: Bench, distanceMm: number, lineRad: number): (cells: number) => number {
  const { array, lamp, build } = bench.plan;
  const centred: Lamp = {
    acrossMm: 0,
    upMm: 0,
    distanceMm,
    diameterMm: lamp.diameter,
    candela: lamp.candela,
  };
  const perPitch = (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm;
  const astray = straySlopes(bench, distanceMm);
  const passed = (across: number, up: number) =>
    astray.reduce(
      (sum, stray) =>
        sum +
        stray.weight *
          lampLight(
            centred,
            {
              front: { acrossMm: across * array.frontPitchMm, upMm: up * array.frontPitchMm },
              chord: { across: across * perPitch + stray.across, up: up * perPitch + stray.up },
            },
            bench.healthy,
            array.tubeBoreMm,
          ),
      0,
    );
  const kernel = nominalKernel(array, build.crosstalk);
  return (cells) => {
    const across = cells * Math.cos(lineRad);
    const up = cells * Math.sin(lineRad);
    return kernel.reduce(
      (sum, cell) => sum + cell.share * passed(across - cell.across, up - cell.up),
      (1 - build.crosstalk) * passed(across, up),
    );
  };
}

/** Three-point Gauss–Hermite rule for a normal deviate (Abramowitz & Stegun, table 25.10). */
const DEVIATES = [
  { sigmas: -Math.sqrt(3), weight: 1 / 6 },
  { sigmas: 0, weight: 2 / 3 },
  { sigmas: Math.sqrt(3), weight: 1 / 6 },
];

/** How far healthy tubes look past where they should, as slopes towards a lamp at a distance, with their shares. */
function straySlopes({ tubes }: Bench, distanceMm: number) {
  const healthy = tubes.filter((tube) => tube.fault === undefined && !tube.isUnfilled);
  const rms = (stray: (tube: Tube) => number) =>
    Math.sqrt(healthy.reduce((sum, tube) => sum + stray(tube) ** 2, 0) / healthy.length);
  const towardsLamp = (chord: number, front: number) => chord + front / distanceMm;
  const across = rms((tube) =>
    towardsLamp(
      tube.chord.across - tube.nominalChord.across,
      tube.front.acrossMm - tube.nominalFront.acrossMm,
    ),
  );
  const up = rms((tube) =>
    towardsLamp(tube.chord.up - tube.nominalChord.up, tube.front.upMm - tube.nominalFront.upMm),
  );
  return DEVIATES.flatMap((one) =>
    DEVIATES.map((other) => ({
      across: one.sigmas * across,
      up: other.sigmas * up,
      weight: one.weight * other.weight,
    })),
  );
}

/** The two summed one-lamp responses before the middle of the array, without noise. */
export function truePair(bench: Bench, spacingMm: number, distanceMm: number, turnedDeg: number) {
  const { array } = bench.plan;
  const response = tabulated(
    continuousResponse(bench, distanceMm, (turnedDeg * Math.PI) / 180),
    reach(bench, distanceMm),
  );
  const separationCells = lampSeparationCells(array, spacingMm, distanceMm);
  const profile: PairProfile = pairDip(response, separationCells, reach(bench, distanceMm) / 2);
  return { separationCells, dip: profile.dip };
}

/** Two full widths of one lamp's image, cells. */
function reach(bench: Bench, distanceMm: number): number {
  const lampWidth = bench.plan.lamp.diameter / distanceMm;
  return 2 * lampSpreadCells(bench.plan.array, bench.healthy.far.widthRad + lampWidth, distanceMm);
}

const NODES = 200;

/** The response read from a table, 0 beyond its reach; it is the same to both sides of the lamp's image. */
function tabulated(response: (cells: number) => number, reachCells: number): (cells: number) => number {
  const step = reachCells / NODES;
  const table = Float64Array.from({ length: NODES + 1 }, (_, i) => response(i * step));
  return (cells) => {
    const place = Math.abs(cells) / step;
    const i = Math.floor(place);
    if (i >= NODES) return 0;
    return table[i] + (place - i) * (table[i + 1] - table[i]);
  };
}
