import { cellNear, cellPlace, type DrawnPlace } from '../maps/lattice.js';
import type { PageData } from '../page/page-data.js';
import type { Cell } from './data.js';

type Choose = (cell: Cell) => void;

/** Places of cells in a map's own units, and the cell at a place. */
interface Places {
  of(cell: Cell): DrawnPlace;
  near(place: DrawnPlace): Cell | null;
}

/** Farthest from a cell's middle, in pitches, that still counts as pointing at it. */
const REACH = 0.75;

function latticePlaces({ array, cells }: PageData): Places {
  return {
    of: (cell) => cellPlace(array, cell.row, cell.column),
    near: (place) => {
      const found = cellNear(array, place);
      return found === null ? null : (cells[(found.row - 1) * array.columns + found.column - 1] ?? null);
    },
  };
}

function photoPlaces({ cells, picture, pitchPx }: PageData): Places {
  const scale = picture?.scale ?? 1;
  const of = (cell: Cell) => ({ x: (cell.xPx + 0.5) / scale, y: (cell.yPx + 0.5) / scale });
  return {
    of,
    near: ({ x, y }) => {
      let best: Cell | null = null;
      let reach = (REACH * (pitchPx ?? 0)) / scale;
      for (const cell of cells) {
        const place = of(cell);
        const distance = Math.hypot(place.x - x, place.y - y);
        if (distance < reach) [best, reach] = [cell, distance];
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

const STEPS: Record<string, readonly [rows: number, columns: number]> = {
  ArrowUp: [-1, 0],
  ArrowDown: [1, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
};

/**
 * Makes every map of the page answer to pointer and arrow keys.
 * @returns shows a cell as the chosen one on all maps
 */
export function connectMaps(data: PageData, choose: Choose): (cell: Cell) => void {
  const { array, cells } = data;
  let chosen: Cell | null = null;
  const maps = [...document.querySelectorAll<SVGSVGElement>('svg[data-map]')].map((map) => ({
    map,
    places: map.dataset.map === 'photo' ? photoPlaces(data) : latticePlaces(data),
  }));
  for (const { map, places } of maps) {
    map.addEventListener('click', (event) => {
      const cell = places.near(pointed(map, event));
      if (cell) choose(cell);
    });
    map.addEventListener('pointermove', (event) => {
      const cell = places.near(pointed(map, event));
      map.style.cursor = cell ? 'pointer' : '';
    });
    map.addEventListener('keydown', (event) => {
      const step = STEPS[event.key];
      if (!step) return;
      event.preventDefault();
      const row = Math.min(array.rows, Math.max(1, (chosen?.row ?? 1) + (chosen ? step[0] : 0)));
      const column = Math.min(array.columns, Math.max(1, (chosen?.column ?? 1) + (chosen ? step[1] : 0)));
      const cell = cells[(row - 1) * array.columns + column - 1];
      if (cell) choose(cell);
    });
  }
  return (cell) => {
    chosen = cell;
    for (const { map, places } of maps) {
      const ring = map.querySelector('.picked');
      const { x, y } = places.of(cell);
      ring?.setAttribute('cx', String(x));
      ring?.setAttribute('cy', String(y));
      ring?.removeAttribute('hidden');
    }
  };
}
