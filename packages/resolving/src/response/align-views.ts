import { median } from '@twolamp/numeric';
import type { LampView } from './lamp-view.js';
import { BRIGHT_SHARE, LEAST_AIM_PITCHES, LEAST_LAMP_SIGMAS } from './tuning.js';

/** Corrections to the stated dimensions and lamp places, common to all shots. */
export interface Alignment {
  /** Direction of the array as a whole, slopes off its normal. */
  readonly aim: readonly [number, number];
  /** Excess divergence of its axes over the stated one, slope per pitch from the middle. */
  readonly fan: readonly [number, number];
  /** A lamp at distance D is seen wider than a far one by 1 + widening · (tube length ÷ D). */
  readonly widening: number;
}

/** Factor by which the response to a near lamp is wider than that to a far one. */
export function nearFactor({ nearness }: Pick<LampView, 'nearness'>, { widening }: Alignment): number {
  return 1 + widening * nearness;
}

/** The same shots with slopes relative to the corrected axes, scaled as if the lamps stood far away. */
export function alignViews(views: readonly LampView[], alignment: Alignment): LampView[] {
  const { aim, fan } = alignment;
  return views.map((view) => {
    const near = nearFactor(view, alignment);
    const { shot, light, noise, usable, places, nearness } = view;
    const discRadius = view.discRadius / near;
    const lamps = view.lamps.map(({ slopes, falloff }) => ({
      slopes: slopes.map(
        (slope, n) => (slope - aim[(n % 2) as 0 | 1] - fan[(n % 2) as 0 | 1] * places[n]) / near,
      ),
      falloff,
    }));
    // Written out, as all that hot loops take: the compiler then has one shape to expect.
    return { shot, light, noise, usable, places, nearness, discRadius, lamps };
  });
}

/**
 * First estimate of the direction of the array as a whole: arrays are set up square to the lamps by eye, and an error of
 * one degree moves every image by more than its own width.
 *
 * The light's centre of gravity in each shot, relative to its lamps' stated place; the median over the shots, so that
 * lamps half outside the array do not matter.
 *
 * @param pitchSlope - slope between the directions in which two neighbours see a lamp
 * @returns slopes across and up; 0 where no shot shows a lamp, or the offset is within what coarse cells cause
 */
export function roughAim(views: readonly LampView[], pitchSlope: number): [number, number] {
  const found = views.flatMap(({ light, noise, usable, lamps }) => {
    const top = light.reduce(
      (most, value, k) => (usable[k] && value > LEAST_LAMP_SIGMAS * noise[k] ? Math.max(most, value) : most),
      0,
    );
    if (top === 0) return [];
    let sum = 0;
    let across = 0;
    let up = 0;
    light.forEach((value, k) => {
      if (!usable[k] || value < BRIGHT_SHARE * top) return;
      for (const { slopes } of lamps) {
        sum += value;
        across += value * slopes[2 * k];
        up += value * slopes[2 * k + 1];
      }
    });
    return [[across / sum, up / sum] as const];
  });
  if (found.length === 0) return [0, 0];
  const across = median(found.map((one) => one[0]));
  const up = median(found.map((one) => one[1]));
  return Math.hypot(across, up) < LEAST_AIM_PITCHES * pitchSlope ? [0, 0] : [across, up];
}
