import type { Evidence, Result } from '@twolamp/session';
import { lengthM, ratioPlusMinus } from '@twolamp/words';
import { type Chart, chartLayout, plainText, type Trace } from './chart.js';
import { curveTraces } from './dip-chart.js';

export interface Measured {
  readonly result: Result;
  readonly evidence: Evidence | null;
}

const SIDES = [
  { when: 'earlier', colour: '@soft', fill: '@softband', symbol: 'square-open' },
  { when: 'later', colour: '@lamp', fill: '@band', symbol: 'circle' },
] as const;

function points({ pairs }: Result, name: string, colour: string, symbol: string): Trace[] {
  const shown = pairs.filter(({ dip }) => dip !== null);
  if (shown.length === 0) return [];
  return [
    {
      name,
      type: 'scatter',
      mode: 'markers',
      x: shown.map(({ distanceM }) => distanceM),
      y: shown.map(({ dip }) => dip!),
      error_y: {
        type: 'data',
        array: shown.map(({ dipUncertainty }) => dipUncertainty ?? 0),
        color: colour,
        thickness: 1.2,
        width: 3,
      },
      marker: { symbol, size: 7, color: colour, line: { width: 1.6, color: colour } },
      text: shown.map(
        ({ photo, distanceM, dip, dipUncertainty }) =>
          `${plainText(photo)}<br>${lengthM(distanceM)}, dip ${ratioPlusMinus(dip!, dipUncertainty)}`,
      ),
      hovertemplate: '%{text}<extra></extra>',
    },
  ];
}

/** Dip against distance of both sessions, with their fits where the evidence is at hand, and the criterion where both share it. */
export function twoDipsChart(earlier: Measured, later: Measured): Chart {
  const data = [earlier, later].flatMap(({ result, evidence }, i) => {
    const { when, colour, fill, symbol } = SIDES[i]!;
    const curve = evidence?.dipCurve ? curveTraces(evidence.dipCurve, `${when}, fit`, colour, fill) : [];
    return [...curve, ...points(result, when, colour, symbol)];
  });
  const criteria = new Set([earlier, later].flatMap(({ result }) => result.resolving?.requiredDip ?? []));
  const layout = chartLayout('distance of the lamps, m', 'dip between the two lamps');
  return {
    data,
    layout: {
      ...layout,
      yaxis: { ...(layout.yaxis as object), rangemode: 'tozero' },
      shapes: [...criteria].map((requiredDip) => ({
        type: 'line',
        xref: 'paper',
        x0: 0,
        x1: 1,
        y0: requiredDip,
        y1: requiredDip,
        line: { color: '@ink', width: 1.2, dash: 'dash' },
      })),
    },
  };
}
