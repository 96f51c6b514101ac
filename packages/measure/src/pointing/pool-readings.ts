import { bisquare } from '@twolamp/numeric';
import type { PooledReadings } from './learn-profile.js';
import type { TubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  evaluateShape,
  HEIGHT,
  SHAPE_SIZE,
  type TubeShape,
  WIDTH,
} from './tube-shape.js';
import { OUTLIER_SIGMAS } from './tuning.js';

/**
 * The readings of many tubes on one scale, with round shapes assumed.
 *
 * @param acceptance - that the shapes belong to: readings far off it get less weight; null = all count fully
 * @param middleWidth - log of width that is to be the unit
 */
export function poolReadings(
  acceptance: AcceptanceProfile | null,
  data: readonly TubeData[],
  shapes: readonly TubeShape[],
  middleWidth: number,
): PooledReadings {
  const size = data.reduce((sum, one) => sum + one.response.length, 0);
  const radius = new Float64Array(size);
  const light = new Float64Array(size);
  const weight = new Float64Array(size);
  const gradient = new Float64Array(SHAPE_SIZE);
  let at = 0;
  data.forEach((one, i) => {
    const shape = shapes[i];
    const height = shape[HEIGHT];
    if (!(height > 0)) return;
    const shrink = Math.exp(middleWidth - shape[WIDTH]);
    for (let k = 0; k < one.response.length; k++) {
      if (one.clipped[k] === 1) continue;
      const x = one.across[k] - shape[CENTRE_ACROSS];
      const y = one.up[k] - shape[CENTRE_UP];
      radius[at] = Math.sqrt(x * x + y * y) * shrink;
      light[at] = one.response[k] / height;
      weight[at] = (height / one.sigma[k]) ** 2;
      if (acceptance !== null) {
        const model = evaluateShape(acceptance.profile, shape, one.across[k], one.up[k], gradient);
        weight[at] *= bisquare((one.response[k] - model) / (OUTLIER_SIGMAS * one.sigma[k]));
      }
      at++;
    }
  });
  return { radius, light, weight };
}
