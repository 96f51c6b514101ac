import type { Comparison, Fault, Result, TubeChange } from '@twolamp/session';
import { quantile } from 'simple-statistics';
import { decimal } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import type { CellMap } from './cell-map.js';
import { CHANGE_ON_PAPER, LAMPLIGHT, LOSS_AND_GAIN } from './colour-scale.js';
import { cellPlace } from './lattice.js';
import { mapFigure } from './map-figure.js';
import { markTurnDeg } from './marks.js';

export interface ComparisonMaps {
  readonly earlier: CellMap;
  readonly later: CellMap;
  /** null for arrays of different size. */
  readonly difference: CellMap | null;
}

/** Least half width of the scale of changes: smaller ones are of no consequence. */
const LEAST_CHANGE = 0.2;

function markOf(fault: Fault): Exclude<Fault, 'none'> | null {
  return fault === 'none' ? null : fault;
}

/** Ring around a tube whose change is significant. */
function rings(comparison: Comparison, array: Result['array']): SafeHtml {
  const path = comparison.tubes.flatMap(({ cell, transmission }) => {
    if (!transmission?.significant) return [];
    const { x, y } = cellPlace(array, cell);
    return `M${x - 0.46} ${y}a.46 .46 0 1 0 .92 0a.46 .46 0 1 0-.92 0`;
  });
  const d = path.join('');
  return html`<path class="arrow halo" d="${d}"/><path class="arrow" d="${d}"/>`;
}

/** The two maps of transmission on one scale, and later − earlier; tubes of arrays of one size are on the common brightness scale. */
export function comparisonMaps(comparison: Comparison, earlier: Result, later: Result): ComparisonMaps {
  const { tubes } = comparison;
  const sides = (['earlier', 'later'] as const).map((side) => {
    const result = side === 'earlier' ? earlier : later;
    const turns = new Map(result.cells.map((one) => [one.cell, markTurnDeg(one)]));
    const numberOf = (tube: TubeChange) => (side === 'earlier' ? (tube.cellEarlier ?? tube.cell) : tube.cell);
    const cells =
      tubes.length > 0
        ? tubes.map((tube) => ({
            cell: numberOf(tube),
            value: tube.transmission?.[side] ?? null,
            fault: markOf(side === 'earlier' ? tube.faultEarlier : tube.faultLater),
            turnDeg: turns.get(numberOf(tube)) ?? 0,
          }))
        : result.cells.map((one) => ({
            cell: one.cell,
            value: one.transmission.relative,
            fault: markOf(one.fault),
            turnDeg: markTurnDeg(one),
          }));
    return { array: result.array, cells, name: result.array.name };
  });
  const values = sides.flatMap(({ cells }) => cells.flatMap(({ value }) => value ?? []));
  const high = values.length === 0 ? 1.2 : Math.max(1.2, Math.ceil(quantile(values, 0.98) * 10) / 10);
  const [before, after] = sides.map(
    ({ array, cells, name }): CellMap => ({
      array,
      cells,
      scale: LAMPLIGHT,
      low: 0,
      high,
      alt: `Map of relative transmission of ${name}, seen from the back.`,
    }),
  );
  return { earlier: before!, later: after!, difference: differenceMap(comparison, later.array) };
}

function differenceMap(comparison: Comparison, array: Result['array']): CellMap | null {
  const { tubes } = comparison;
  const changes = tubes.flatMap(({ transmission }) => (transmission ? Math.abs(transmission.change) : []));
  if (changes.length === 0) return null;
  const half = Math.max(LEAST_CHANGE, Math.ceil(quantile(changes, 0.995) * 10) / 10);
  return {
    array,
    cells: tubes.map(({ cell, transmission }) => ({
      cell,
      value: transmission?.change ?? null,
    })),
    scale: LOSS_AND_GAIN,
    onPaper: CHANGE_ON_PAPER,
    low: -half,
    high: half,
    alt: `Map of the change of transmission, later less earlier: ${tubes.filter(({ transmission }) => transmission?.significant).length} tubes changed significantly.`,
    overlay: rings(comparison, array),
  };
}

export function comparisonMapFigures(comparison: Comparison, earlier: Result, later: Result): SafeHtml {
  const maps = comparisonMaps(comparison, earlier, later);
  const ticks = ['0', decimal(maps.later.high / 2, 1), `${decimal(maps.later.high, 1)} and more`];
  const side = (map: CellMap, when: string, name: string) =>
    mapFigure({ map, ticks, caption: `${when}: ${name}.` });
  const { difference } = maps;
  const half = difference ? decimal(difference.high, 1) : '';
  return html`<div class="pair thirds-on-paper last-wide">${side(maps.earlier, 'Earlier', earlier.array.name)}${side(maps.later, 'Later', later.array.name)}${
    difference &&
    mapFigure({
      map: difference,
      ticks: [`${'\u2212'}${half} and less`, '0', `+${half} and more`],
      caption:
        'Change of transmission, later less earlier. A ring marks a change that is significant over the whole array.',
    })
  }</div>`;
}
