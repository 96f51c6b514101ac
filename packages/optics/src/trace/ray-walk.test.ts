import { describe, expect, test } from 'vitest';
import { type Random, seededRandom } from '../random.js';
import { fresnelReflectance } from '../tube/fresnel.js';
import { traceTube } from './trace-tube.js';

const [BORE_MM, LENGTH_MM] = [2.5, 150];
const WALL = { index: 1.5, extinction: 0, gloss: 0.9 };

/**
 * One ray through a bowed tube as it is: a torus in space, marched through by the distance to its wall, with nothing
 * of the frame that the tracer works in. A bow towards +x; the chord runs from z = 0 to z = L.
 */
function marchTorus(bowMm: number, x0: number, y0: number, slopeX: number, slopeY: number): number {
  const bend = (LENGTH_MM ** 2 / 4 + bowMm ** 2) / (2 * bowMm); // radius of the arc
  const size = 1 / Math.hypot(slopeX, slopeY, 1);
  let [dx, dy, dz] = [slopeX * size, slopeY * size, size];
  let [x, y, z] = [x0, y0, 0];
  const room = (t: number) => {
    const [px, py, pz] = [x + dx * t, y + dy * t, z + dz * t];
    const offset = Math.hypot(px + bend - bowMm, pz - LENGTH_MM / 2) - bend;
    return BORE_MM / 2 - Math.hypot(offset, py);
  };
  let light = 1;
  while (light > 1e-6) {
    let t = 0.05;
    while (room(t) > 0 && z + dz * t > 0 && z + dz * t < LENGTH_MM) t += Math.max(room(t), 0.05);
    if (room(t) > 0 || z + dz * t >= LENGTH_MM) return z + dz * t >= LENGTH_MM ? light : 0;
    let [inside, outside] = [Math.max(0, t - 2 * BORE_MM), t];
    while (room(inside) < 0) inside = (inside + t) / 2;
    for (let i = 0; i < 30; i++) {
      const middle = (inside + outside) / 2;
      if (room(middle) > 0) inside = middle;
      else outside = middle;
    }
    x += dx * inside;
    y += dy * inside;
    z += dz * inside;
    const [ax, az] = [x + bend - bowMm, z - LENGTH_MM / 2];
    const radial = Math.hypot(ax, az);
    const offset = radial - bend;
    const out = Math.hypot(offset, y);
    const [nx, ny, nz] = [((offset / out) * ax) / radial, y / out, ((offset / out) * az) / radial];
    const cos = dx * nx + dy * ny + dz * nz;
    const { unpolarised } = fresnelReflectance(Math.acos(Math.min(1, cos)), WALL.index, WALL.extinction);
    light *= WALL.gloss * unpolarised;
    dx -= 2 * cos * nx;
    dy -= 2 * cos * ny;
    dz -= 2 * cos * nz;
  }
  return 0;
}

function marchBeam(bowMm: number, slopeAcross: number, slopeUp: number, rays: number, random: Random) {
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < rays; i++) {
    const radius = (BORE_MM / 2) * Math.sqrt(random.uniform());
    const angle = 2 * Math.PI * random.uniform();
    const passed = marchTorus(
      bowMm,
      radius * Math.cos(angle),
      radius * Math.sin(angle),
      -slopeAcross,
      -slopeUp,
    );
    sum += passed;
    squares += passed * passed;
  }
  const mean = sum / rays;
  return { mean, error: Math.sqrt((squares / rays - mean * mean) / rays) };
}

describe('a bowed tube', () => {
  test.each([
    [0.3, 0, 0],
    [0.3, 0.03, 0.01],
    [1, 0, 0],
    [1, -0.027, 0.004],
    [1, 0.02, 0],
    [2, -0.053, 0],
    [2, -0.03, 0.02],
    [2, 0.01, 0],
  ])('bow %d mm, slopes %d, %d: a torus marched through in space', (bowMm, slopeAcross, slopeUp) => {
    const marched = marchBeam(bowMm, slopeAcross, slopeUp, 1200, seededRandom(21));
    const traced = traceTube(
      { boreMm: BORE_MM, lengthMm: LENGTH_MM, bowMm },
      WALL,
      { kind: 'beam', slopeAcross, slopeUp },
      30_000,
      seededRandom(22),
    );
    expect(marched.error).toBeLessThan(0.015);
    const error = Math.hypot(marched.error, traced.standardError);
    expect(Math.abs(traced.transmission - marched.mean) / error).toBeLessThan(4);
  });
});
