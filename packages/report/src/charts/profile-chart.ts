import type { Evidence } from '@twolamp/session';
import { type Chart, chartLayout } from './chart.js';

type Profile = Evidence['profiles'][number];

/** Light along the line of the lamps in one pair shot: what was measured, and the fitted two lamps. */
export function profileChart(profile: Profile): Chart {
  const layout = chartLayout('place along the line of the lamps, cells', 'light, fit’s peak = 1');
  return {
    data: [
      {
        name: 'fitted two lamps',
        type: 'scatter',
        mode: 'lines',
        x: profile.offsetCells,
        y: profile.model,
        line: { color: '@soft', width: 2, dash: 'dot' },
      },
      {
        name: 'measured',
        type: 'scatter',
        mode: 'lines',
        x: profile.offsetCells,
        y: profile.measured,
        line: { color: '@lamp', width: 2 },
      },
    ],
    layout: { ...layout, yaxis: { ...(layout.yaxis as object), rangemode: 'tozero' } },
  };
}
