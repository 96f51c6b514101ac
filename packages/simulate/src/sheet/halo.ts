import type { Place } from '@twolamp/optics';

/** Light on a place of the sheet, lx. */
export type SheetLight = (place: Place) => number;

/** One tube's light. */
export interface HaloSource {
  readonly middle: Place;
  /** lx·mm² */
  readonly light: number;
  /** Of the tube's bore, mm. */
  readonly radiusMm: number;
}

const REACH_SCALES = 9;
const STEPS_PER_SCALE = 3;
const KERNEL_NODES = 1 << 15;

/**
 * Light that wanders sideways in the sheet, far beyond the spots: it falls off exponentially, e-fold in `scaleMm`, and
 * is rounded off over the tube's bore.
 *
 * @param sources - all tubes
 * @param share - of each tube's light that wanders
 * @returns illuminance anywhere on the sheet
 */
export function haloLight(sources: readonly HaloSource[], share: number, scaleMm: number): SheetLight {
  const lit = sources.filter((source) => source.light > 0);
  if (share === 0 || lit.length === 0) return () => 0;
  const reach = REACH_SCALES * scaleMm;
  const step = scaleMm / STEPS_PER_SCALE;
  const left = Math.min(...lit.map((source) => source.middle.acrossMm)) - reach;
  const bottom = Math.min(...lit.map((source) => source.middle.upMm)) - reach;
  const columns =
    Math.ceil((Math.max(...lit.map((source) => source.middle.acrossMm)) + reach - left) / step) + 2;
  const rows = Math.ceil((Math.max(...lit.map((source) => source.middle.upMm)) + reach - bottom) / step) + 2;
  const grid = new Float64Array(rows * columns);
  const span = Math.ceil(reach / step);
  const kernels = new Map<number, Float64Array>();
  for (const { middle, light, radiusMm } of lit) {
    const kernel = kernels.get(radiusMm) ?? haloKernel(radiusMm, scaleMm, reach);
    kernels.set(radiusMm, kernel);
    const column = Math.round((middle.acrossMm - left) / step);
    const row = Math.round((middle.upMm - bottom) / step);
    for (let r = Math.max(0, row - span); r <= Math.min(rows - 1, row + span); r++) {
      const dy = bottom + r * step - middle.upMm;
      for (let c = Math.max(0, column - span); c <= Math.min(columns - 1, column + span); c++) {
        const dx = left + c * step - middle.acrossMm;
        const place = ((dx * dx + dy * dy) * KERNEL_NODES) / (reach * reach);
        if (place >= KERNEL_NODES) continue;
        grid[r * columns + c] += share * light * kernel[Math.round(place)];
      }
    }
  }
  return ({ acrossMm, upMm }) => {
    const x = (acrossMm - left) / step;
    const y = (upMm - bottom) / step;
    const c = Math.floor(x);
    const r = Math.floor(y);
    if (c < 0 || r < 0 || c >= columns - 1 || r >= rows - 1) return 0;
    const at = r * columns + c;
    const lower = grid[at] + (x - c) * (grid[at + 1] - grid[at]);
    const upper = grid[at + columns] + (x - c) * (grid[at + columns + 1] - grid[at + columns]);
    return lower + (y - r) * (upper - lower);
  };
}

/** Halo of one tube, share of its light per mm², over the distance squared in steps of reach² / KERNEL_NODES. */
function haloKernel(radiusMm: number, scaleMm: number, reachMm: number): Float64Array {
  // ∫ exp(−√(r² + ε²)/s) 2πr dr = 2π s (s + ε) exp(−ε/s)
  const norm = 2 * Math.PI * scaleMm * (scaleMm + radiusMm) * Math.exp(-radiusMm / scaleMm);
  return Float64Array.from({ length: KERNEL_NODES + 1 }, (_, i) => {
    const distance2 = (i * reachMm * reachMm) / KERNEL_NODES;
    return Math.exp(-Math.sqrt(distance2 + radiusMm * radiusMm) / scaleMm) / norm;
  });
}
