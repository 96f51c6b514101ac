import type { Evidence, PairResult, Result } from '@twolamp/session';
import {
  distanceValue,
  lengthM,
  measuredDistance,
  ratioPlusMinus,
  significant,
  withUnit,
} from '@twolamp/words';
import { type Chart, chartLayout, plainText, type Trace } from './chart.js';

type DipCurve = NonNullable<Evidence['dipCurve']>;

type Shown = PairResult & { readonly dip: number };

/** Marks of the shots by what was found: shape and fill both tell. */
const KINDS = [
  { separate: true, name: 'separate', symbol: 'circle', colour: '@lamp' },
  { separate: false, name: 'not separate', symbol: 'square-open', colour: '@ink' },
  { separate: null, name: 'undecided', symbol: 'diamond-open', colour: '@soft' },
] as const;

/** What a shot's point says under the pointer: the same figures as the lists. */
function hoverText({ photo, distanceM, dip, dipUncertainty }: Shown, verdict: string): string {
  return `${plainText(photo)}<br>${lengthM(distanceM)}, dip ${ratioPlusMinus(dip, dipUncertainty)}<br>${verdict}`;
}

function pairTraces(pairs: readonly PairResult[]): Trace[] {
  const shown = pairs.filter((pair): pair is Shown => pair.dip !== null);
  return KINDS.flatMap(({ separate, name, symbol, colour }) => {
    const list = shown.filter((pair) => pair.separate === separate);
    if (list.length === 0) return [];
    return {
      name,
      type: 'scatter',
      mode: 'markers',
      x: list.map(({ distanceM }) => distanceM),
      y: list.map(({ dip }) => dip),
      error_y: {
        type: 'data',
        array: list.map(({ dipUncertainty }) => dipUncertainty ?? 0),
        color: colour,
        thickness: 1.2,
        width: 3,
      },
      marker: { symbol, size: 7, color: colour, line: { width: 1.6, color: colour } },
      text: list.map((pair) => hoverText(pair, name)),
      customdata: list.map((pair) => pair.photo),
      hovertemplate: '%{text}<extra></extra>',
    };
  });
}

/** Dips read without the model: small crosses beside the shots. */
function plainTrace(dips: NonNullable<Evidence['plainDips']>): Trace[] {
  if (dips.length === 0) return [];
  return [
    {
      name: 'read without the model',
      type: 'scatter',
      mode: 'markers',
      x: dips.map(({ distanceM }) => distanceM),
      y: dips.map(({ dip }) => dip),
      error_y: {
        type: 'data',
        array: dips.map(({ uncertainty }) => uncertainty),
        color: '@soft',
        thickness: 1,
        width: 2,
      },
      marker: { symbol: 'x-thin-open', size: 8, color: '@soft', line: { width: 1.4, color: '@soft' } },
      text: dips.map(
        ({ distanceM, dip, uncertainty }) => `${lengthM(distanceM)}, dip ${ratioPlusMinus(dip, uncertainty)}`,
      ),
      hovertemplate: '%{text}<extra>without the model</extra>',
    },
  ];
}

export function curveTraces(curve: DipCurve, name: string, colour: string, fill: string): Trace[] {
  const edge = { type: 'scatter', mode: 'lines', line: { width: 0 }, hoverinfo: 'skip', showlegend: false };
  return [
    { ...edge, name: `${name}, low`, x: curve.distanceM, y: curve.lowDip },
    {
      ...edge,
      name: `${name}, high`,
      x: curve.distanceM,
      y: curve.highDip,
      fill: 'tonexty',
      fillcolor: fill,
    },
    {
      name,
      type: 'scatter',
      mode: 'lines',
      x: curve.distanceM,
      y: curve.dip,
      line: { color: colour, width: 2 },
      hoverinfo: 'skip',
    },
  ];
}

/**
 * Dip against distance: the shots with their standard uncertainty, the fitted curve with its band, the criterion, and where the
 * fit crosses it with the interval of the crossing.
 */
export function dipChart(result: Result, evidence: Evidence | null): Chart {
  const { resolving } = result;
  const curve = evidence?.dipCurve ? curveTraces(evidence.dipCurve, 'fit, 95 % band', '@lamp', '@band') : [];
  const shapes: unknown[] = [];
  const annotations: unknown[] = [];
  if (resolving !== null) {
    const { requiredDip, distanceM, lowM, highM, bound, predictedDistanceM } = resolving;
    // Each label stands on the side of its line that the other line isn't on.
    const isFarther = predictedDistanceM !== null && distanceM > predictedDistanceM;
    const across = { type: 'line', xref: 'paper', x0: 0, x1: 1, y0: requiredDip, y1: requiredDip };
    const upright = { type: 'line', yref: 'paper', y0: 0, y1: 1 };
    shapes.push({ ...across, line: { color: '@ink', width: 1.2, dash: 'dash' } });
    annotations.push({
      xref: 'paper',
      x: 1,
      y: requiredDip,
      xanchor: 'right',
      yanchor: 'bottom',
      showarrow: false,
      text: `criterion ${requiredDip}`,
    });
    if (bound === 'within') {
      if (lowM !== null && highM !== null) {
        shapes.push({
          type: 'rect',
          yref: 'paper',
          y0: 0,
          y1: 1,
          x0: lowM,
          x1: highM,
          fillcolor: '@interval',
          line: { width: 0 },
          layer: 'below',
        });
      }
      shapes.push({ ...upright, x0: distanceM, x1: distanceM, line: { color: '@lamp', width: 1.5 } });
      annotations.push({
        yref: 'paper',
        x: distanceM,
        y: 1,
        xanchor: isFarther ? 'left' : 'right',
        yanchor: 'top',
        showarrow: false,
        text: ` measured ${distanceValue(measuredDistance(resolving))} `,
      });
    }
    if (predictedDistanceM !== null) {
      shapes.push({
        ...upright,
        x0: predictedDistanceM,
        x1: predictedDistanceM,
        line: { color: '@soft', width: 1.5, dash: 'dot' },
      });
      annotations.push({
        yref: 'paper',
        x: predictedDistanceM,
        y: 0.9,
        xanchor: isFarther ? 'right' : 'left',
        yanchor: 'top',
        showarrow: false,
        text: ` predicted ${withUnit(significant(predictedDistanceM, 3), 'm')} `,
      });
    }
  }
  const layout = chartLayout('distance of the lamps, m', 'dip between the two lamps');
  return {
    data: [...curve, ...pairTraces(result.pairs), ...plainTrace(evidence?.plainDips ?? [])],
    layout: { ...layout, yaxis: { ...(layout.yaxis as object), rangemode: 'tozero' }, shapes, annotations },
  };
}

/** The chart in words, for those who don't see it. */
export function dipChartAlt(result: Result): string {
  const shown = result.pairs.filter((pair) => pair.dip !== null);
  const separate = shown.filter((pair) => pair.separate === true).length;
  const distances = shown.map(({ distanceM }) => distanceM);
  if (shown.length === 0) return 'Dip against distance: no pair shot gave a dip.';
  return `Dip against distance: ${shown.length} pair shots from ${lengthM(Math.min(...distances))} to ${lengthM(Math.max(...distances))}, ${separate} of them separate.`;
}
