import type { Evidence, Result } from '@twolamp/session';
import { tubesOnly } from '@twolamp/words';
import type { Chart } from './charts/chart.js';
import { dipChart, dipChartAlt } from './charts/dip-chart.js';
import { markDefinitions } from './maps/marks.js';
import { pointingFigure } from './maps/pointing-map.js';
import { transmissionFigure } from './maps/transmission-map.js';

/** The report's figures by themselves, for a page that shows them while the shooting goes on. */
export interface LiveFigures {
  /** Markup of the faults' marks, which must stand once on the page that shows the maps. */
  readonly marks: string;
  /** Markup of the map of transmissions. */
  readonly tubes: string;
  /** Markup of the map of pointing errors; null without a sweep. */
  readonly pointing: string | null;
  /** Null without pair shots. */
  readonly dip: { readonly chart: Chart; readonly alt: string } | null;
}

export function liveFigures(whole: Result, evidence: Evidence | null): LiveFigures {
  const result = tubesOnly(whole);
  return {
    marks: markDefinitions().markup,
    tubes: transmissionFigure(result).markup,
    pointing: pointingFigure(result)?.markup ?? null,
    dip: result.pairs.length > 0 ? { chart: dipChart(result, evidence), alt: dipChartAlt(result) } : null,
  };
}
