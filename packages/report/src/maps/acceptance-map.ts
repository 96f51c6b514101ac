import { type Result, typicalWidthDeg } from '@twolamp/session';
import { median, medianAbsoluteDeviation, quantile } from 'simple-statistics';
import { decimal, decimalsFor, significant } from '@twolamp/words';
import type { SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { AMOUNT_ON_PAPER, LAMPLIGHT } from './colour-scale.js';
import { mapFigure } from './map-figure.js';

function widths(result: Result): number[] {
  return result.cells.flatMap((cell) => cell.pointing?.acceptanceWidthDeg ?? []);
}

/** The scale spans at least this share of the median, so that tubes that see alike look alike. A judgement, no source. */
const LEAST_SPAN = 0.4;

function scaleOf(known: readonly number[]): { low: number; high: number } {
  const values = [...known];
  const half = (LEAST_SPAN / 2) * median(values);
  return {
    low: Math.min(quantile(values, 0.01), median(values) - half),
    high: Math.max(quantile(values, 0.99), median(values) + half),
  };
}

/** Acceptance width of each tube, all but the extremes inside the scale; null without a sweep. */
export function acceptanceMap(result: Result): CellMap | null {
  const known = widths(result);
  if (known.length === 0) return null;
  return {
    array: result.array,
    cells: result.cells.map(({ cell, pointing }) => ({
      cell,
      value: pointing?.acceptanceWidthDeg ?? null,
    })),
    scale: LAMPLIGHT,
    onPaper: AMOUNT_ON_PAPER,
    ...scaleOf(known),
    alt: `Map of acceptance widths, seen from the back; half of the tubes see wider than ${significant(median(known), 3)}°.`,
  };
}

export function acceptanceFigure(result: Result): SafeHtml | null {
  const map = acceptanceMap(result);
  if (map === null) return null;
  const known = widths(result);
  const typical = typicalWidthDeg(result)!;
  const spread = 1.4826 * medianAbsoluteDeviation(known);
  return mapFigure({
    map,
    ticks: [`${significant(map.low, 3)}° and less`, `${significant(map.high, 3)}° and more`],
    caption: `Acceptance width of each tube: the angle over which it passes at least half of the light that it passes from straight ahead. A typical tube’s is ${significant(typical, 3)}°; tubes differ by ${decimal(spread, decimalsFor(spread))}° (robust standard deviation).`,
  });
}
