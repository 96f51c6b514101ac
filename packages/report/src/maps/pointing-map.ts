import { type Result, typicalWidthDeg } from '@twolamp/session';
import { quantile } from 'simple-statistics';
import { significant, trimmed } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { AMOUNT_ON_PAPER, LAMPLIGHT } from './colour-scale.js';
import { cellPlace } from './lattice.js';
import { mapFigure } from './map-figure.js';
import { type PointingError, pointingErrors } from './pointing-field.js';

/** Length of the longest arrow, in pitches, at most. */
const LONGEST = 4;
/** Arrows shorter than this would be specks. */
const SHORTEST = 0.25;
const HEAD = 0.28;
/** Errors below this share of a tube's acceptance width stay small on the map. A judgement, no source. */
const LEAST_SPAN = 0.1;

/** The next of 1, 2, 5 times a power of ten. */
export function niceAbove(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  return ([1, 2, 5, 10].find((factor) => factor * power >= value * (1 - 1e-9)) ?? 10) * power;
}

function arrow(from: { x: number; y: number }, dx: number, dy: number): string {
  const at = (value: number) => value.toFixed(2);
  const length = Math.hypot(dx, dy);
  const head = Math.min(HEAD, length / 2) / length;
  const [x, y] = [from.x + dx, from.y + dy];
  const barb = (side: number) =>
    `${at(x - head * (dx + side * 0.6 * dy))} ${at(y - head * (dy - side * 0.6 * dx))}`;
  return `M${at(from.x)} ${at(from.y)}L${at(x)} ${at(y)}M${barb(1)}L${at(x)} ${at(y)}L${barb(-1)}`;
}

export interface PointingMap {
  readonly map: CellMap;
  readonly errors: readonly PointingError[];
  /** Pointing error that an arrow one pitch long stands for. */
  readonly degPerPitch: number;
}

/** Pointing errors as arrows over a map of their size; null without a sweep. */
export function pointingMap(result: Result): PointingMap | null {
  const errors = pointingErrors(result);
  if (errors.length === 0) return null;
  const sizes = errors.map(({ errorDeg }) => errorDeg);
  const width = typicalWidthDeg(result);
  const worthSeeing = width === null ? 0 : LEAST_SPAN * width;
  const largest = Math.max(worthSeeing, ...sizes);
  const degPerPitch = largest > 0 ? niceAbove(largest / LONGEST) : 1;
  const arrows = errors.flatMap(({ cell, errorDeg, towards }) => {
    const length = errorDeg / degPerPitch;
    if (towards === null || length < SHORTEST) return [];
    return arrow(cellPlace(result.array, cell), towards.x * length, towards.y * length);
  });
  const path = arrows.join('');
  const byCell = new Map(errors.map((error) => [error.cell, error.errorDeg]));
  return {
    errors,
    degPerPitch,
    map: {
      array: result.array,
      cells: result.cells.map(({ cell }) => ({
        cell,
        value: byCell.get(cell) ?? null,
      })),
      scale: LAMPLIGHT,
      onPaper: AMOUNT_ON_PAPER,
      low: 0,
      high: niceAbove(Math.max(worthSeeing, quantile(sizes, 0.98))),
      alt: `Map of pointing errors as arrows, seen from the back; the largest is ${significant(Math.max(...sizes), 2)}°.`,
      overlay: html`<path class="arrow halo" d="${path}"/><path class="arrow" d="${path}"/>`,
    },
  };
}

export function pointingFigure(result: Result): SafeHtml | null {
  const pointing = pointingMap(result);
  if (pointing === null) return null;
  const { map, degPerPitch } = pointing;
  return mapFigure({
    map,
    ticks: ['0°', `${trimmed(map.high / 2)}°`, `${trimmed(map.high)}° and more`],
    caption: `Pointing error of each tube, seen from the back towards the scene: which way it looks aside from the smooth field of its neighbours, and how far. An arrow one pitch long stands for ${trimmed(degPerPitch)}°.`,
  });
}
