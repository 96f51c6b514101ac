import { type ArrayOfTubes, cellNear, cellPlace, type DrawnPlace } from '../maps/lattice.js';
import type { PageData } from '../page/page-data.js';
import { byPlace, type TubePlace } from './data.js';
import { element } from './element.js';

/** Where tubes lie on a map, in its own units, and the tube at a place. */
interface Places {
  of(tube: TubePlace): DrawnPlace | null;
  near(place: DrawnPlace): TubePlace | null;
}

/** Farthest from a cell's middle, in pitches, that still counts as pointing at it. */
const REACH = 0.75;

function latticePlaces(array: ArrayOfTubes): Places {
  return {
    of: ({ row, column }) => cellPlace(array, row, column),
    near: (place) => cellNear(array, place),
  };
}

function photoPlaces({ cells, picture, pitchPx }: Extract<PageData, { kind: 'report' }>): Places {
  const scale = picture?.scale ?? 1;
  const places = cells.map(({ row, column, xPx, yPx }) => ({
    row,
    column,
    x: (xPx + 0.5) / scale,
    y: (yPx + 0.5) / scale,
  }));
  const find = byPlace(places);
  return {
    of: (tube) => find(tube) ?? null,
    near: ({ x, y }) => {
      let best: TubePlace | null = null;
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

const ARROWS: Record<string, readonly [rows: number, columns: number]> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
};

function clamp(value: number, last: number): number {
  return Math.min(last, Math.max(1, value));
}

/** The tube an arrow key leads to: from the chosen one, or the first where none is chosen. */
function stepped(array: ArrayOfTubes, chosen: TubePlace | null, key: string): TubePlace | null {
  const arrow = ARROWS[key];
  if (!arrow) return null;
  if (!chosen) return { row: 1, column: 1 };
  return {
    row: clamp(chosen.row + arrow[0], array.rows),
    column: clamp(chosen.column + arrow[1], array.columns),
  };
}

/**
 * Makes every map of the page answer to pointer and arrow keys.
 * @param labelOf - what stands beside the pointer over a tube
 * @returns shows a tube as the chosen one on all maps
 */
export function connectMaps(
  data: NonNullable<PageData>,
  choose: (tube: TubePlace) => void,
  labelOf: (tube: TubePlace) => string | null,
): (tube: TubePlace) => void {
  const label = element('div', { class: 'hover', hidden: '' });
  document.body.append(label);
  let chosen: TubePlace | null = null;
  const maps = [...document.querySelectorAll<SVGSVGElement>('svg[data-map]')].map((map) => ({
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
      const tube = places.near(pointed(map, event));
      map.style.cursor = tube ? 'pointer' : '';
      showLabel(label, (tube && labelOf(tube)) ?? '', event);
    });
    map.addEventListener('pointerleave', () => {
      label.hidden = true;
    });
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
