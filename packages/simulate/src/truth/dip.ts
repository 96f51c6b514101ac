import { lampSeparationCells, lampSpreadCells, type PairProfile, pairDip } from '@twolamp/optics';
import type { Bench } from '../array/bench.js';
import { nominalKernel } from '../array/crosstalk.js';
import { type Lamp, lampLight } from '../shots/lamp-light.js';

/**
 * One lamp's light in an array without fault, as if a tube stood anywhere along a line through the lamp's image.
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
  const passed = (across: number, up: number) =>
    lampLight(
      centred,
      {
        front: { acrossMm: across * array.frontPitchMm, upMm: up * array.frontPitchMm },
        chord: { across: across * perPitch, up: up * perPitch },
      },
      bench.healthy,
      array.tubeBoreMm,
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
