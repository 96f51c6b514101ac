import type { Chart } from '../charts/chart.js';
import type { PageData } from '../page/page-data.js';

/** A tube's place in the array, counted from 1, seen from the back. */
export interface TubePlace {
  readonly row: number;
  readonly column: number;
}

function embedded<T>(id: string): T {
  return JSON.parse(document.getElementById(id)?.textContent ?? 'null') as T;
}

export const readCharts = (): Record<string, Chart> => embedded('charts');
export const readData = (): PageData => embedded('data');

/** Looks a tube up by its place. */
export function byPlace<T extends TubePlace>(tubes: readonly T[]): (place: TubePlace) => T | undefined {
  const index = new Map(tubes.map((tube) => [`${tube.row}/${tube.column}`, tube]));
  return ({ row, column }) => index.get(`${row}/${column}`);
}
