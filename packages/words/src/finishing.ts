import { tubeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { counted, partPercent } from './quantity.js';
import type { Answer } from './sentence.js';

interface Size {
  readonly tubes: number;
  readonly rows: number;
  readonly columns: number;
}

function sizeOf(array: Result['array']): Size {
  const { count, row, column } = tubeLayout(array);
  const span = (values: Int32Array) =>
    count === 0
      ? 0
      : values.reduce((most, at) => Math.max(most, at)) -
        values.reduce((least, at) => Math.min(least, at)) +
        1;
  return { tubes: count, rows: span(row), columns: span(column) };
}

/** "from 30 to 50 rows": what a finished array has more of. */
export function widening(now: Size, then: Size): string {
  const grown = [
    ...(then.rows > now.rows ? [`from ${now.rows} to ${then.rows} rows`] : []),
    ...(then.columns > now.columns ? [`from ${now.columns} to ${then.columns} columns`] : []),
  ];
  return grown.length > 0
    ? `Finishing widens the picture ${grown.join(' and ')}; it doesn’t make it finer.`
    : `Finishing fills the picture’s gaps with ${counted(then.tubes - now.tubes, 'tube')}; it doesn’t make it finer.`;
}

/** What finishing a partly built array would bring and what not; null where every hole has its tube. */
export function finishingAnswer({ array }: Result): Answer | null {
  if (!array.map?.some((line) => line.includes('o'))) return null;
  const now = sizeOf(array);
  const then = sizeOf({ ...array, map: array.map.map((line) => line.replaceAll('o', '#')) });
  return {
    headline: widening(now, then),
    details: [
      `${now.tubes} of ${then.tubes} holes have a tube (${partPercent(now.tubes / then.tubes)}). The figures here are of these; holes without a tube are no faults. The verb weigh sets hours of work against what they bring.`,
    ],
  };
}
