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
  columns: number,
  rows: number,
): { readonly similarity: Preview['similarity']; readonly findings: readonly PreviewFinding[] } {
  const none = (why: PreviewFinding) => ({ similarity: null, findings: [why] });
  if (Math.min(columns, rows) < LEAST_SIDE) {
    return none(finding('array-too-small-to-compare', 'similarity', { needed: LEAST_SIDE }));
  }
  const similarities = (of: Float64Array): Float64Array => {
    const { radius, width, values } = similarityMap(of, tones.perfect, columns, rows, 1);
    return values.filter((_, i) => {
      const row = Math.floor(i / width) + radius;
      return looksInside[row * columns + (i % width) + radius] === 1;
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
