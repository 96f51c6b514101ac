import { placeWords } from '@twolamp/words';
import { type ArrayOfTubes, mirroredColumn } from '../maps/lattice.js';
import { element } from './element.js';
import type { FindingPlace } from '@twolamp/session';

/** Everything a page knows of one tube: what to show, and what to draw once it is on the page. */
export interface Story {
  readonly content: readonly Node[];
  readonly draw?: () => void;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Heading with the tube's place, seen from both faces. */
export function storyHead(tube: FindingPlace, array: ArrayOfTubes): Node[] {
  const { row, column } = tube;
  if (row === null || column === null) return [element('h2', {}, capital(placeWords(tube)))];
  return [
    element('h2', {}, `Row ${row}, column ${column}`),
    element('p', { class: 'mirror' }, `From the front: row ${row}, column ${mirroredColumn(array, column)}`),
  ];
}

/** Figures by name. */
export function figureList(figures: readonly (readonly [name: string, value: string])[]): Node {
  return element(
    'dl',
    {},
    ...figures.flatMap(([name, value]) => [element('dt', {}, name), element('dd', {}, value)]),
  );
}
