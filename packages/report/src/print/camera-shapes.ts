import type { PaperPoint, Shape } from './drawing.js';
import { line } from './shapes.js';

/** A camera seen from the side that looks to the right; `at` is where its lens begins. */
export function cameraShapes([x, y]: PaperPoint): Shape[] {
  return [
    line('line', [x - 5, y - 4], [x, y - 4], [x, y + 4], [x - 5, y + 4], [x - 5, y - 4]),
    line('line', [x, y - 2], [x + 2, y - 2], [x + 2, y + 2], [x, y + 2]),
  ];
}
