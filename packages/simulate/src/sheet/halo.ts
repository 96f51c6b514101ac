import type { Place } from '@twolamp/optics';

/** Light on a place of the sheet, lx. */
export type SheetLight = (place: Place) => number;

/** Sheet light on a grid of places, read in between by straight lines both ways. */
export interface HaloSource {
  readonly middle: Place;
  /** lx·mm² */
  readonly light: number;
  /** Of the tube's bore, mm. */
  readonly radiusMm: number;
}

const REACH_SCALES = 9;
const STEPS_PER_SCALE = 3;

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
  for (const { middle, light, radiusMm } of lit) {
    // ∫ exp(−√(r² + ε²)/s) 2πr dr = 2π s (s + ε) exp(−ε/s)
    const norm = 2 * Math.PI * scaleMm * (scaleMm + radiusMm) * Math.exp(-radiusMm / scaleMm);
    const column = Math.round((middle.acrossMm - left) / step);
    const row = Math.round((middle.upMm - bottom) / step);
    for (let r = Math.max(0, row - span); r <= Math.min(rows - 1, row + span); r++) {
      const dy = bottom + r * step - middle.upMm;
      for (let c = Math.max(0, column - span); c <= Math.min(columns - 1, column + span); c++) {
        const dx = left + c * step - middle.acrossMm;
        const distance = Math.sqrt(dx * dx + dy * dy + radiusMm * radiusMm);
        grid[r * columns + c] += ((share * light) / norm) * Math.exp(-distance / scaleMm);
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
