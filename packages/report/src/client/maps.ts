import { placeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { tubeLabel, tubesOnly } from '@twolamp/words';
import { type ArrayOfTubes, cellNear, cellPlace, type DrawnPlace } from '../maps/lattice.js';
import type { ComparisonData, HistoryData, ReportData } from '../page/page-data.js';
import { byNumber, type TubeNumber } from './data.js';
import { element } from './element.js';

/** Where tubes lie on a map, in its own units, and the tube at a place. */
interface Places {
  of(tube: TubeNumber): DrawnPlace | null;
  near(place: DrawnPlace): TubeNumber | null;
}

/** Farthest from a cell's middle, in pitches, that still counts as pointing at it. */
const REACH = 0.75;

function latticePlaces(array: ArrayOfTubes): Places {
  return {
    of: ({ cell }) => cellPlace(array, cell),
    near: (place) => {
      const cell = cellNear(array, place);
      return cell === null ? null : { cell };
    },
  };
}

function photoPlaces({ cells, picture, pitchPx }: ReportData): Places {
  const scale = picture?.scale ?? 1;
  const places = cells.map(({ cell, xPx, yPx }) => ({
    cell,
    x: (xPx + 0.5) / scale,
    y: (yPx + 0.5) / scale,
  }));
  const find = byNumber(places);
  return {
    of: (tube) => find(tube) ?? null,
    near: ({ x, y }) => {
      let best: TubeNumber | null = null;
      let reach = (REACH * (pitchPx ?? 0)) / scale;
      for (const place of places) {
        const distance = Math.hypot(place.x - x, place.y - y);
        if (distance < reach) [best, reach] = [place, distance];
      }
      return best;
    },
  };
}

function pointed(map: SVGSVGElement, event: MouseEvent): DrawnPlace {
  const matrix = map.getScreenCTM();
  const point = new DOMPoint(event.clientX, event.clientY);
  return matrix === null ? point : point.matrixTransform(matrix.inverse());
}

/** Pixels between the pointer and its label. */
const LABEL_GAP = 14;

/** Beside the pointer, on the side with room. */
function showLabel(label: HTMLElement, text: string, { clientX, clientY }: MouseEvent): void {
  label.hidden = text === '';
  label.textContent = text;
  const right = clientX + LABEL_GAP + label.offsetWidth < document.documentElement.clientWidth;
  label.style.left = `${right ? clientX + LABEL_GAP : clientX - LABEL_GAP - label.offsetWidth}px`;
  label.style.top = `${Math.max(0, clientY - LABEL_GAP - label.offsetHeight)}px`;
}

function hoverLabel(): HTMLElement {
  const label = element('div', { class: 'hover', hidden: '' });
  document.body.append(label);
  return label;
}

const mapsOfPage = () => [...document.querySelectorAll<SVGSVGElement>('svg[data-map]')];

/** Has a map say what is under the pointer. */
function sayUnderPointer(
  map: SVGSVGElement,
  places: Places,
  labelOf: (tube: TubeNumber) => string | null,
  label: HTMLElement,
): void {
  map.addEventListener('pointermove', (event) => {
    const tube = places.near(pointed(map, event));
    showLabel(label, (tube && labelOf(tube)) ?? '', event);
  });
  map.addEventListener('pointerleave', () => {
    label.hidden = true;
  });
}

/** Has the maps of a history say what is under the pointer. */
export function labelMaps({ maps }: HistoryData): void {
  const label = hoverLabel();
  for (const [n, map] of mapsOfPage().entries()) {
    const of = maps[n];
    if (of === undefined) continue;
    const find = byNumber(of.labels);
    sayUnderPointer(map, latticePlaces(of.array), (tube) => find(tube)?.text ?? null, label);
  }
}

/**
 * Has a map of a result say what is under the pointer.
 * @returns takes the label away again
 */
export function labelMap(map: SVGSVGElement, result: Result): () => void {
  const { array, cells } = tubesOnly(result);
  const find = byNumber(cells);
  const label = hoverLabel();
  const labelOf = (tube: TubeNumber) => {
    const cell = find(tube);
    return cell === undefined ? null : tubeLabel(cell);
  };
  sayUnderPointer(map, latticePlaces(array), labelOf, label);
  return () => label.remove();
}

const ARROWS: Record<string, DrawnPlace> = {
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
};

/** The tube an arrow key leads to: the nearest on that side of the chosen one, or the first where none is chosen. */
function stepped(array: ArrayOfTubes, chosen: TubeNumber | null, key: string): TubeNumber | null {
  const arrow = ARROWS[key];
  if (!arrow) return null;
  if (!chosen) return { cell: 1 };
  const from = cellPlace(array, chosen.cell);
  let [best, least] = [chosen, Number.POSITIVE_INFINITY];
  for (let cell = 1; cell <= placeLayout(array).count; cell++) {
    const { x, y } = cellPlace(array, cell);
    const along = (x - from.x) * arrow.x + (y - from.y) * arrow.y;
    const aside = Math.abs((x - from.x) * arrow.y - (y - from.y) * arrow.x);
    // What lies aside counts double, so that a row is followed to its end.
    if (along < 0.1 || aside > along || along + 2 * aside >= least) continue;
    [best, least] = [{ cell }, along + 2 * aside];
  }
  return best;
}

/**
 * Makes every map of the page answer to pointer and arrow keys.
 * @param labelOf - what stands beside the pointer over a tube
 * @returns shows a tube as the chosen one on all maps
 */
export function connectMaps(
  data: ReportData | ComparisonData,
  choose: (tube: TubeNumber) => void,
  labelOf: (tube: TubeNumber) => string | null,
): (tube: TubeNumber) => void {
  const label = hoverLabel();
  let chosen: TubeNumber | null = null;
  const maps = mapsOfPage().map((map) => ({
    map,
    places:
      map.dataset.map === 'photo' && data.kind === 'report' ? photoPlaces(data) : latticePlaces(data.array),
  }));
  for (const { map, places } of maps) {
    map.setAttribute('tabindex', '0');
    map.setAttribute('role', 'application');
    map.setAttribute('aria-roledescription', 'map of tubes');
    map.setAttribute('aria-description', 'Arrow keys move from tube to tube.');
    map.addEventListener('click', (event) => {
      const tube = places.near(pointed(map, event));
      if (tube) choose(tube);
    });
    map.addEventListener('pointermove', (event) => {
      map.style.cursor = places.near(pointed(map, event)) ? 'pointer' : '';
    });
    sayUnderPointer(map, places, labelOf, label);
    map.addEventListener('keydown', (event) => {
      const tube = stepped(data.array, chosen, event.key);
      if (!tube) return;
      event.preventDefault();
      choose(tube);
    });
  }
  return (tube) => {
    chosen = tube;
    for (const { map, places } of maps) {
      const ring = map.querySelector('.picked');
      const place = places.of(tube);
      if (!ring || !place) continue;
      ring.setAttribute('cx', String(place.x));
      ring.setAttribute('cy', String(place.y));
      ring.removeAttribute('hidden');
    }
  };
}
