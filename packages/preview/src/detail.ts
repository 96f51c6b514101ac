import { type ArrayGeometry, tubeLayout } from '@twolamp/optics';
import { finding, type Preview, type PreviewFinding } from '@twolamp/session';
import { similarityMap } from './structural-similarity.js';
import type { ByState } from './tube-values.js';

const LEAST_SIDE = 3;

/**
 * How much of the scene's detail is left: mean structural similarity of the tubes' tones with those of the perfect
 * array, over the places that look at the scene. In hexagonal arrays rows and columns are taken for a square grid.
 *
 * @param tones - 0 to 1, reading order
 * @returns null with a finding where there is no such place
 */
export function detailLeft(
  tones: ByState<Float64Array>,
  looksInside: Uint8Array,
  array: ArrayGeometry,
): { readonly similarity: Preview['similarity']; readonly findings: readonly PreviewFinding[] } {
  const none = (why: PreviewFinding) => ({ similarity: null, findings: [why] });
  const { columns, rows } = array;
  if (Math.min(columns, rows) < LEAST_SIDE) {
    return none(finding('array-too-small-to-compare', 'similarity', { needed: LEAST_SIDE }));
  }
  const layout = tubeLayout(array);
  /** Places without a tube are black in both pictures. */
  const onGrid = (of: Float64Array): Float64Array => {
    const grid = new Float64Array(rows * columns);
    of.forEach((tone, k) => {
      grid[(layout.row[k] - 1) * columns + layout.column[k] - 1] = tone;
    });
    return grid;
  };
  const similarities = (of: Float64Array): Float64Array => {
    const { radius, width, values } = similarityMap(onGrid(of), onGrid(tones.perfect), columns, rows, 1);
    return values.filter((_, i) => {
      const row = Math.floor(i / width) + radius;
      return looksInside[layout.at(row + 1, (i % width) + radius + 1)] === 1;
    });
  };
  const mean = (values: Float64Array) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const asMeasured = similarities(tones.asMeasured);
  if (asMeasured.length === 0) return none(finding('scene-too-small-to-compare', 'similarity', {}));
  return {
    similarity: {
      asMeasured: mean(asMeasured),
      repaired: mean(similarities(tones.repaired)),
      places: asMeasured.length,
    },
    findings: [],
  };
}
