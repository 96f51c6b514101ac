import type { Resolving, Result } from '@twolamp/session';
import { distanceText, measuredDistance } from '@twolamp/words';
import { type Chart, chartLayout, plainText } from './chart.js';

const SYMBOL: Record<Resolving['bound'], string> = {
  within: 'circle',
  beyond: 'triangle-up',
  nearer: 'triangle-down',
};

/** “2. Reed panel”: results of one array mostly have one name. @param index - from 0, oldest first */
export function resultName({ array }: Result, index: number): string {
  return `${index + 1}. ${array.name}`;
}

/**
 * Resolving distance of one result after the other, with its interval; a bound is a triangle that points to where the distance lies.
 * null where fewer than two results have one, or spacing or criterion differ, so that the distances can't be compared.
 */
export function historyChart(results: readonly Result[]): Chart | null {
  const measured = results.flatMap((result, i) => {
    const { resolving } = result;
    return resolving && !resolving.doubtful ? { name: resultName(result, i), resolving, place: i + 1 } : [];
  });
  const asked = new Set(measured.map(({ resolving }) => `${resolving.spacingM}/${resolving.requiredDip}`));
  if (measured.length < 2 || asked.size > 1) return null;
  const layout = chartLayout('', 'resolving distance, m');
  const half = (end: number | null, { distanceM, bound }: Resolving) =>
    end === null || bound !== 'within' ? 0 : Math.abs(end - distanceM);
  return {
    data: [
      {
        name: 'resolving distance',
        type: 'scatter',
        mode: 'lines+markers',
        x: measured.map(({ place }) => place),
        y: measured.map(({ resolving }) => resolving.distanceM),
        error_y: {
          type: 'data',
          symmetric: false,
          array: measured.map(({ resolving }) => half(resolving.highM, resolving)),
          arrayminus: measured.map(({ resolving }) => half(resolving.lowM, resolving)),
          color: '@lamp',
          thickness: 1.5,
          width: 5,
        },
        line: { color: '@soft', width: 1, dash: 'dot' },
        marker: {
          symbol: measured.map(({ resolving }) => SYMBOL[resolving.bound]),
          size: 11,
          color: '@lamp',
        },
        text: measured.map(
          ({ name, resolving }) => `${plainText(name)}<br>${distanceText(measuredDistance(resolving))}`,
        ),
        hovertemplate: '%{text}<extra></extra>',
      },
    ],
    layout: {
      ...layout,
      showlegend: false,
      xaxis: {
        ...(layout.xaxis as object),
        tickvals: results.map((_, i) => i + 1),
        ticktext: results.map((result, i) => plainText(resultName(result, i))),
        range: [0.5, results.length + 0.5],
      },
    },
  };
}
