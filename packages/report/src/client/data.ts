import type { Chart } from '../charts/chart.js';
import type { PageData } from '../page/page-data.js';

/** A tube by the number of its cell. */
export interface TubeNumber {
  readonly cell: number;
}

function embedded<T>(id: string): T {
  return JSON.parse(document.getElementById(id)?.textContent ?? 'null') as T;
}

export const readCharts = (): Record<string, Chart> => embedded('charts');
export const readData = (): PageData => embedded('data');

/** Looks a tube up by its number. */
export function byNumber<T extends TubeNumber>(tubes: readonly T[]): (tube: TubeNumber) => T | undefined {
  const index = new Map(tubes.map((tube) => [tube.cell, tube]));
  return ({ cell }) => index.get(cell);
}
