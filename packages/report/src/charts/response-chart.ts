import { tubeFront, tubeOfCell } from '@twolamp/optics';
import type { CellResult, Evidence, Result } from '@twolamp/session';
import { LAMPLIGHT } from '../maps/colour-scale.js';
import { type Chart, chartLayout } from './chart.js';

type Sweep = NonNullable<Evidence['sweep']>;

const DEG_PER_RAD = 180 / Math.PI;
const SMALLEST = 4;
const LARGEST = 15;
/** The best answer takes the top of the scale, but for tubes so weak that it would be noise. */
const LEAST_BEST = 0.2;

/**
 * How a tube answered to each lamp of the sweep, over the direction in which it saw the lamp from its front end; with its pointing and
 * acceptance width where they were found.
 */
export function responseChart(array: Result['array'], cell: CellResult, sweep: Sweep): Chart {
  const tube = tubeOfCell(array, cell.cell);
  const { acrossMm, upMm } = tubeFront(array, tube);
  const responses = sweep.response[tube] ?? [];
  const seen = sweep.lamps.flatMap((lamp, i) => {
    const response = responses[i] ?? null;
    if (response === null) return [];
    return {
      across: Math.atan((lamp.acrossMm - acrossMm) / lamp.distanceMm) * DEG_PER_RAD,
      up: Math.atan((lamp.upMm - upMm) / lamp.distanceMm) * DEG_PER_RAD,
      response,
    };
  });
  const best = Math.max(LEAST_BEST, ...seen.map(({ response }) => response));
  const layout = chartLayout('across, °', 'up, °');
  const { pointing } = cell;
  const half = (pointing?.acceptanceWidthDeg ?? 0) / 2;
  const circle = pointing && {
    type: 'circle',
    x0: pointing.acrossDeg - half,
    x1: pointing.acrossDeg + half,
    y0: pointing.upDeg - half,
    y1: pointing.upDeg + half,
    line: { color: '@cold', width: 1.5 },
  };
  return {
    data: [
      {
        name: 'response',
        type: 'scatter',
        mode: 'markers',
        x: seen.map(({ across }) => across),
        y: seen.map(({ up }) => up),
        text: seen.map(({ response }) => response.toFixed(3)),
        hovertemplate: '%{x:.2f}° across, %{y:.2f}° up<br>response %{text}<extra></extra>',
        marker: {
          color: seen.map(({ response }) => response),
          cmin: 0,
          cmax: best,
          colorscale: LAMPLIGHT.map((colour, i) => [i / (LAMPLIGHT.length - 1), colour]),
          size: seen.map(
            ({ response }) => SMALLEST + (LARGEST - SMALLEST) * Math.sqrt(Math.max(0, response) / best),
          ),
          line: { width: 0.6, color: '#5a4636' },
        },
      },
      ...(pointing
        ? [
            {
              name: 'pointing',
              type: 'scatter',
              mode: 'markers',
              x: [pointing.acrossDeg],
              y: [pointing.upDeg],
              hoverinfo: 'skip',
              marker: { symbol: 'cross-thin', size: 14, line: { color: '@cold', width: 2 } },
            },
          ]
        : []),
    ],
    layout: {
      ...layout,
      plot_bgcolor: '@sheet',
      showlegend: false,
      margin: { l: 40, r: 8, t: 8, b: 40 },
      yaxis: {
        ...(layout.yaxis as object),
        scaleanchor: 'x',
        gridcolor: '#2d231b',
        zerolinecolor: '#2d231b',
      },
      xaxis: { ...(layout.xaxis as object), gridcolor: '#2d231b', zerolinecolor: '#2d231b' },
      shapes: circle ? [circle] : [],
    },
  };
}
