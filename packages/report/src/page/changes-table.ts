import type { Comparison, TubeChange, TubeVerdict } from '@twolamp/session';
import { decimal, plusMinus, ratioDecimals, ratioPlusMinus } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { markIcon } from '../maps/marks.js';
import { stackedTable } from './stacked-table.js';
import { tubeButton } from './tube-button.js';

const ORDER: readonly TubeVerdict[] = ['new fault', 'worse', 'still faulty', 'mended', 'changed'];

function faultText(fault: TubeChange['faultLater']): SafeHtml {
  return html`${fault === 'none' ? null : markIcon(fault)} ${fault}`;
}

function beforeAndAfter({ earlier, later, uncertainty }: NonNullable<TubeChange['transmission']>): string {
  const decimals = ratioDecimals(uncertainty);
  return `${decimal(earlier, decimals)} → ${decimal(later, decimals)}`;
}

function line({
  cell,
  row,
  column,
  verdict,
  faultEarlier,
  faultLater,
  transmission,
  pointing,
}: TubeChange): (SafeHtml | string)[] {
  const moved = pointing ? Math.hypot(pointing.acrossDeg, pointing.upDeg) : null;
  return [
    tubeButton({ cell, row, column }),
    verdict,
    faultText(faultEarlier),
    faultText(faultLater),
    transmission ? beforeAndAfter(transmission) : '–',
    transmission ? ratioPlusMinus(transmission.change, transmission.uncertainty) : '–',
    pointing && moved !== null ? plusMinus(moved, pointing.uncertaintyDeg, '°') : '–',
  ];
}

const COLUMNS = [
  { title: 'From the back' },
  ...(['Verdict', 'Fault earlier', 'Fault later'] as const).map((title) => ({
    title,
    cells: 'fault' as const,
  })),
  ...(['Transmission', 'Change', 'Pointing moved'] as const).map((title) => ({
    title,
    cells: 'number' as const,
  })),
];

/** The tubes that changed or need work, worst news first, the larger change first within a verdict. */
export function changesTable({ tubes }: Comparison): SafeHtml {
  const size = ({ transmission }: TubeChange) => Math.abs(transmission?.change ?? 0);
  const listed = tubes
    .filter(({ verdict }) => verdict !== 'unchanged')
    .sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict) || size(b) - size(a));
  if (listed.length === 0) return html`<p>No tube has changed.</p>`;
  return stackedTable('Table of tubes', COLUMNS, listed.map(line));
}
