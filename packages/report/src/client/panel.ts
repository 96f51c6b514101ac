import { plusMinus, percentPlusMinus, significant } from '../words/quantity.js';
import type { PageData } from '../page/page-data.js';
import type { Cell } from './data.js';
import { element, svgElement } from './element.js';

/** Half the side of the crop, in pitches. */
const CROP = 3;

function crop({ picture, pitchPx }: PageData, cell: Cell): SVGElement | null {
  if (picture === null || pitchPx === null) return null;
  const x = (cell.xPx + 0.5) / picture.scale;
  const y = (cell.yPx + 0.5) / picture.scale;
  const pitch = pitchPx / picture.scale;
  const half = CROP * pitch;
  return svgElement(
    'svg',
    {
      class: 'crop',
      viewBox: `${x - half} ${y - half} ${2 * half} ${2 * half}`,
      role: 'img',
      'aria-label': `The photo around row ${cell.row}, column ${cell.column}`,
    },
    svgElement('use', { href: '#photo-image' }),
    svgElement('circle', { class: 'around', cx: x, cy: y, r: pitch * 0.58, 'stroke-width': pitch * 0.06 }),
  );
}

function figures(cell: Cell): [string, string][] {
  const { relative, relativeUncertainty, absolute, absoluteUncertainty } = cell.transmission;
  const list: [string, string][] = [];
  if (relative !== null) list.push(['Relative transmission', plusMinus(relative, relativeUncertainty)]);
  if (absolute !== null)
    list.push(['Absolute transmission', percentPlusMinus(absolute, absoluteUncertainty)]);
  if (cell.pointing) {
    const { acrossDeg, upDeg, uncertaintyDeg, errorDeg, acceptanceWidthDeg } = cell.pointing;
    list.push(
      ['Points across', plusMinus(acrossDeg, uncertaintyDeg, '°')],
      ['Points up', plusMinus(upDeg, uncertaintyDeg, '°')],
    );
    if (errorDeg !== null) list.push(['Pointing error', plusMinus(errorDeg, uncertaintyDeg, '°')]);
    if (acceptanceWidthDeg !== null)
      list.push(['Acceptance width', `${significant(acceptanceWidthDeg, 3)}°`]);
  }
  if (cell.bend) list.push(['Bow', plusMinus(cell.bend.bowMm, cell.bend.uncertaintyMm, 'mm')]);
  if (cell.crosstalk) {
    list.push(['Crosstalk, total', `${significant(cell.crosstalk.total * 100, 2)} %`]);
    const { worst } = cell.crosstalk;
    if (worst)
      list.push([
        'Most of it into',
        `row ${worst.row}, column ${worst.column}: ${significant(worst.share * 100, 2)} %`,
      ]);
  }
  return list;
}

/** Everything known of one tube. */
export function panelContent(data: PageData, cell: Cell): Node[] {
  const { columns } = data.array;
  const heading = element(
    'h2',
    { id: 'panel-title', tabindex: '-1' },
    `Row ${cell.row}, column ${cell.column}`,
  );
  const mirrored = element(
    'p',
    { class: 'mirror' },
    `From the front: row ${cell.row}, column ${columns + 1 - cell.column}`,
  );
  const verdict = element(
    'p',
    { class: `verdict ${cell.fault}` },
    element(
      'strong',
      {},
      cell.fault === 'none' ? 'No fault.' : `${cell.fault.charAt(0).toUpperCase()}${cell.fault.slice(1)}.`,
    ),
    ` ${cell.because}`,
  );
  const list = element(
    'dl',
    {},
    ...figures(cell).flatMap(([name, value]) => [element('dt', {}, name), element('dd', {}, value)]),
  );
  const cropped = crop(data, cell);
  return [heading, mirrored, verdict, ...(cropped ? [cropped] : []), list];
}
