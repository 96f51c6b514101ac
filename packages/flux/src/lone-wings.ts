import type { CellsOnPicture } from './cells-on-picture.js';
import { RING_RADII } from './tuning.js';
import type { CoarseLight } from './wings.js';

/** Grid steps a pitch. */
const STEPS = 12;

/**
 * Parts of the light that lies around the only lit cell, by its distance: rings that rise from one radius to the next
 * and fall to the one after. In the even shot, tails of spots and wings lie under the neighbours' spots, and which is
 * which is known roughly; around a lone spot they lie bare.
 *
 * @param lit - the lit cell
 * @returns pictures whose amounts may be fitted
 */
export function loneWings(cells: CellsOnPicture, lit: number): CoarseLight[] {
  const stepPx = cells.pitchPx / STEPS;
  // A spot seen aslant may be stretched by a seventh.
  const half = Math.ceil(RING_RADII.at(-1)! * STEPS * 1.15);
  const side = 2 * half + 1;
  const left = cells.x[lit] - half * stepPx;
  const top = cells.y[lit] - half * stepPx;
  const radius = distances(cells, lit, stepPx, half);
  return RING_RADII.slice(0, -1).map((middle, n) => {
    const data = radius.map((r) =>
      r < middle ? rise(r, RING_RADII[n - 1], middle) : rise(r, RING_RADII[n + 1], middle),
    );
    return { plane: { width: side, height: side, data }, left, top, stepPx };
  });
}

/** From 0 at one radius to 1 at another; 1 throughout where the first is left out, 0 before it. */
function rise(r: number, from: number | undefined, to: number): number {
  return from === undefined ? 1 : Math.max(0, (r - from) / (to - from));
}

/** Distance of each grid node from the cell's middle, pitches. */
function distances({ toPitch }: CellsOnPicture, lit: number, stepPx: number, half: number): Float32Array {
  const [a, b, c, d] = toPitch.subarray(4 * lit, 4 * lit + 4) as unknown as [number, number, number, number];
  const side = 2 * half + 1;
  return Float32Array.from({ length: side * side }, (_, at) => {
    const dx = stepPx * ((at % side) - half);
    const dy = stepPx * (Math.floor(at / side) - half);
    return Math.hypot(a * dx + b * dy, c * dx + d * dy);
  });
}
