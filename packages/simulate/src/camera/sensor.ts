import { type Random, seededRandom } from '@twolamp/optics';
import type { Plane } from './plane.js';

/** A sensor at one ISO. */
export interface Sensor {
  /** Electrons that fill the scale. */
  readonly fullScaleElectrons: number;
  readonly readNoiseElectrons: number;
  /** Black level, share of full scale. */
  readonly offset: number;
}

/** Below this many electrons the Poisson law is drawn as it is. */
const SMOOTH_FROM = 5;
const DEVIATES = 1 << 16;
/** Gaussian deviates of mean 0 and variance 1 to pick from: ten times as fast as making one for each pixel. */
const GAUSSIAN = gaussianDeviates();

/**
 * What the sensor reads: shot noise of the electrons, read noise, black level; 1 = full scale.
 *
 * Variance of the reading against its mean is a straight line with the slope 1/fullScaleElectrons (photon transfer,
 * EMVA Standard 1288). Readings outside 0 to 1 are cut off. All colours of a pixel share one noise: cameras take the
 * colour noise out, and what is left is noise of brightness.
 *
 * @param perLux - share of full scale that 1 lx of the plane gives in this exposure
 * @returns readings, same shape
 */
export function expose(light: Plane, perLux: number, sensor: Sensor, random: Random): Float32Array {
  const { fullScaleElectrons, readNoiseElectrons, offset } = sensor;
  const readings = new Float32Array(light.data.length);
  const electronsPerLux = perLux * fullScaleElectrons;
  for (let i = 0; i < readings.length; i++) {
    const mean = light.data[i] * electronsPerLux;
    // Two deviates from the two halves of one random number.
    const bits = Math.floor(random.uniform() * DEVIATES * DEVIATES);
    const read = readNoiseElectrons * GAUSSIAN[bits % DEVIATES];
    const shot =
      mean < SMOOTH_FROM ? random.poisson(mean) : smoothPoisson(mean, GAUSSIAN[Math.floor(bits / DEVIATES)]);
    readings[i] = Math.min(1, Math.max(0, offset + (shot + read) / fullScaleElectrons));
  }
  return readings;
}

/**
 * A deviate of the mean, variance and skewness of the Poisson law from a Gaussian one (first term of E. A. Cornish and
 * R. A. Fisher, Rev. Inst. Int. Statist. 5:307, 1938, brought back to the right variance).
 */
function smoothPoisson(mean: number, deviate: number): number {
  const root = Math.sqrt(mean);
  const skew = 1 / (6 * root);
  return mean + (root * (deviate + skew * (deviate * deviate - 1))) / Math.sqrt(1 + 2 * skew * skew);
}

function gaussianDeviates(): Float64Array {
  const random = seededRandom(DEVIATES);
  const drawn = Float64Array.from({ length: DEVIATES }, () => random.normal());
  const mean = drawn.reduce((sum, value) => sum + value, 0) / DEVIATES;
  const variance = drawn.reduce((sum, value) => sum + (value - mean) ** 2, 0) / DEVIATES;
  return drawn.map((value) => (value - mean) / Math.sqrt(variance));
}
