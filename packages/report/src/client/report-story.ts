import { tubeOfCell } from '@twolamp/optics';
import { percentPlusMinus, placeWords, plusMinus, ratioPlusMinus, tubeLabel } from '@twolamp/words';
import { responseChart } from '../charts/response-chart.js';
import type { ReportData } from '../page/page-data.js';
import { byNumber, type TubeNumber } from './data.js';
import { element, svgElement } from './element.js';
import { drawChart } from './plots.js';
import { capital, figureList, type Story, storyHead } from './story.js';

type Cell = ReportData['cells'][number];
type Figure = readonly [name: string, value: string];

/** Half the width and height of the crop, in pitches. */
const CROP = { width: 3.5, height: 2.2 };

function crop({ picture, pitchPx }: ReportData, cell: Cell): SVGElement[] {
  if (picture === null || pitchPx === null) return [];
  const x = (cell.xPx + 0.5) / picture.scale;
  const y = (cell.yPx + 0.5) / picture.scale;
  const pitch = pitchPx / picture.scale;
  const [width, height] = [CROP.width * pitch, CROP.height * pitch];
  const box = [x - width, y - height, 2 * width, 2 * height].join(' ');
  const name = `The photo around ${placeWords(cell)}`;
  return [
    svgElement(
      'svg',
      { class: 'crop', viewBox: box, role: 'img', 'aria-label': name },
      svgElement('use', { href: '#photo-image' }),
      svgElement('circle', { class: 'around', cx: x, cy: y, r: pitch * 0.58, 'stroke-width': pitch * 0.06 }),
    ),
  ];
}

function transmission({ transmission: light }: Cell): Figure[] {
  const list: Figure[] = [];
  if (light.relative !== null) {
    list.push(['Relative transmission', ratioPlusMinus(light.relative, light.relativeUncertainty)]);
  }
  if (light.absolute !== null) {
    list.push(['Absolute transmission', percentPlusMinus(light.absolute, light.absoluteUncertainty)]);
  }
  return list;
}

function pointing({ pointing: aim, bend }: Cell): Figure[] {
  const list: Figure[] = [];
  if (aim) {
    list.push(['Points across', plusMinus(aim.acrossDeg, aim.uncertaintyDeg, '°')]);
    list.push(['Points up', plusMinus(aim.upDeg, aim.uncertaintyDeg, '°')]);
    if (aim.errorDeg !== null)
      list.push(['Pointing error', plusMinus(aim.errorDeg, aim.errorUncertaintyDeg, '°')]);
    if (aim.acceptanceWidthDeg !== null) {
      list.push([
        'Acceptance width',
        plusMinus(aim.acceptanceWidthDeg, aim.acceptanceWidthUncertaintyDeg, '°'),
      ]);
    }
  }
  if (bend) list.push(['Bow', plusMinus(bend.bowMm, bend.uncertaintyMm, 'mm')]);
  return list;
}

function crosstalk({ crosstalk: leak }: Cell): Figure[] {
  if (!leak) return [];
  const list: Figure[] = [['Crosstalk, total', percentPlusMinus(leak.total, leak.totalUncertainty)]];
  if (leak.worst) {
    const { share, shareUncertainty } = leak.worst;
    const most = percentPlusMinus(share, shareUncertainty);
    list.push(['Most of it into', `${placeWords(leak.worst)}: ${most}`]);
  }
  return list;
}

/** One tube of a report: its fault and why, its crop, its figures, its answers to the sweep. */
export function reportStories(data: ReportData): (tube: TubeNumber) => Story | null {
  const find = byNumber(data.cells);
  return (tube) => {
    const cell = find(tube);
    if (!cell) return null;
    const fault = cell.fault === 'none' ? 'No fault.' : `${capital(cell.fault)}.`;
    const content = [
      ...storyHead(cell, data.array),
      element('p', {}, element('strong', {}, fault), ` ${data.reasons[data.cells.indexOf(cell)] ?? ''}`),
      ...crop(data, cell),
      figureList([...transmission(cell), ...pointing(cell), ...crosstalk(cell)]),
    ];
    const { sweep } = data;
    const answers = sweep?.response[tubeOfCell(data.array, cell.cell)];
    if (!sweep || !answers?.some((answer) => answer !== null)) return { content };
    const place = element('div', {
      class: 'response',
      role: 'img',
      'aria-label': 'Response to each lamp of the sweep',
    });
    return {
      content: [...content, element('h3', {}, 'Response to the sweep'), place],
      draw: () => drawChart(place, responseChart(data.array, cell, sweep)),
    };
  };
}

/** What a map says beside the pointer. */
export function reportLabels(data: ReportData): (tube: TubeNumber) => string | null {
  const find = byNumber(data.cells);
  return (tube) => {
    const cell = find(tube);
    return cell ? tubeLabel(cell) : null;
  };
}
