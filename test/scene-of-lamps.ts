import { mixCrosstalk } from '../packages/simulate/src/array/crosstalk.js';
import type { Bench } from '../packages/simulate/src/array/bench.js';
import { lampLight } from '../packages/simulate/src/shots/lamp-light.js';

/** A flat scene as the simulator can light it: each pixel one small lamp. */
export interface LampScene {
  readonly width: number;
  readonly height: number;
  /** 1 = white; row-major, top left first. */
  readonly light: Float32Array;
  readonly widthMm: number;
  readonly distanceMm: number;
}

/**
 * What comes out of each of the simulator's tubes before a scene, lx·mm² but for a common factor: light of every pixel
 * through the tube's traced response, then crosstalk. A pixel shines like a dull surface, a cos weaker aside than a lamp.
 */
export function lightOfScene(bench: Bench, scene: LampScene): Float64Array {
  const { width, height, distanceMm } = scene;
  const stepMm = scene.widthMm / width;
  const pixels = Array.from(scene.light, (candela, i) => ({
    candela,
    acrossMm: ((i % width) - (width - 1) / 2) * stepMm,
    upMm: ((height - 1) / 2 - Math.floor(i / width)) * stepMm,
    distanceMm,
    diameterMm: 0,
  })).filter(({ candela }) => candela > 0);
  const passed = Float64Array.from(bench.tubes, (tube, i) => {
    if (tube.clarity === 0) return 0;
    let sum = 0;
    for (const pixel of pixels) {
      const away = Math.hypot(pixel.acrossMm - tube.front.acrossMm, pixel.upMm - tube.front.upMm);
      const cos = distanceMm / Math.hypot(distanceMm, away);
      sum += cos * lampLight(pixel, tube, bench.responses[i]!, bench.boresMm[i]!);
    }
    return tube.clarity * sum;
  });
  return mixCrosstalk(passed, bench.leaks);
}
