import { frontPlace } from '@twolamp/optics';
import type { ArraySpec, LampShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { LitShot } from '@twolamp/flux';
import { sweepOf } from './sweep.js';

const ARRAY: ArraySpec = {
  name: 'three by four',
  arrangement: 'square',
  rows: 3,
  columns: 4,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};

/** A lamp of intensity 1e9 over open holes: by the inverse square law and the cosine. */
function openHoles(acrossMm: number, upMm: number, distanceMm: number): LitShot<LampShot> {
  const flux = Float64Array.from({ length: 12 }, (_, n) => {
    const front = frontPlace(ARRAY, 1 + Math.floor(n / 4), 1 + (n % 4));
    const square = (acrossMm - front.acrossMm) ** 2 + (upMm - front.upMm) ** 2 + distanceMm ** 2;
    return (1e9 / square) * (distanceMm / Math.sqrt(square));
  });
  const shot: LampShot = { photo: 'lamp.png', stated: {}, kind: 'lamp', acrossMm, upMm, distanceMm };
  return { shot, light: { flux, sigma: flux.map((f) => 0.01 * f), clipped: new Uint8Array(12) } };
}

describe('sweepOf', () => {
  test('open holes answer every lamp alike, near or far, straight on or aslant', () => {
    const sweep = sweepOf(
      ARRAY,
      [openHoles(0, 0, 1000), openHoles(300, -200, 1000), openHoles(-100, 500, 2500)],
      6,
    );
    const first = sweep.response[0];
    for (const value of sweep.response) expect(Math.abs(value / first - 1)).toBeLessThan(1e-12);
    sweep.sigma.forEach((sigma, at) => {
      expect(Math.abs(sigma / sweep.response[at] - 0.01)).toBeLessThan(1e-12);
    });
  });

  test('a lamp on the axis of a tube is at slope 0 from where the tube should look', () => {
    // Row 1, column 4: 1.5 pitches right and 1 up; its axis climbs 1.2 mm in 150 mm for each pitch.
    const distanceMm = 2000;
    const acrossMm = 1.5 * (4.2 + (1.2 / 150) * distanceMm);
    const upMm = 4.2 + (1.2 / 150) * distanceMm;
    const sweep = sweepOf(ARRAY, [openHoles(acrossMm, upMm, distanceMm)], 6);
    expect(Math.abs(sweep.across[3])).toBeLessThan(1e-12);
    expect(Math.abs(sweep.up[3])).toBeLessThan(1e-12);
    // Bore and lamp, 2.6 mm and 6 mm, seen from 2 m off.
    expect(sweep.rounded).toBeCloseTo(0.00215, 12);
    // Row 2, column 4 should look a pitch lower, so that the lamp is above and level with it.
    expect(sweep.up[7]).toBeCloseTo((4.2 + (1.2 / 150) * distanceMm) / distanceMm, 12);
  });

  test('a shot of another array is refused', () => {
    const shot = openHoles(0, 0, 1000);
    const short = { ...shot, light: { ...shot.light, flux: new Float64Array(11) } };
    expect(() => sweepOf(ARRAY, [short], 6)).toThrow(/^light of lamp\.png must hold 12 cells, got 11/);
  });
});
