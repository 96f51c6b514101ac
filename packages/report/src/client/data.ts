import type { Chart } from '../charts/chart.js';
import type { PageData } from '../page/page-data.js';

export type Cell = PageData['cells'][number];

function embedded<T>(id: string): T {
  return JSON.parse(document.getElementById(id)?.textContent ?? 'null') as T;
}

export const readCharts = (): Record<string, Chart> => embedded('charts');
export const readData = (): PageData => embedded('data');
