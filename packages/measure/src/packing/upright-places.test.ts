import type { LitShot } from '@twolamp/flux';
import type { LampShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { uprightPlaces } from './upright-places.js';

/** A bundle of 61 tubes in hexagonal order, 3 mm apart: rings of 6, 12, 18 and 24 about one. */
const PITCH_MM = 3;
const TRUE = [-4, -3, -2, -1, 0, 1, 2, 3, 4].flatMap((row) =>
  Array.from({ length: 9 - Math.abs(row) }, (_, n) => ({
    acrossMm: PITCH_MM * (n - (8 - Math.abs(row)) / 2),
    upMm: PITCH_MM * row * Math.sqrt(0.75),
  })),
);
const DISTANCE_MM = 1000;
const LAMPS = [-60, 0, 60].flatMap((acrossMm) => [-60, 0, 60].map((upMm) => ({ acrossMm, upMm })));

/** A camera that is turned clockwise sees what it looks at turned counter-clockwise. */
function turned(deg: number): typeof TRUE {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return TRUE.map(({ acrossMm, upMm }) => ({
    acrossMm: c * acrossMm - s * upMm,
    upMm: s * acrossMm + c * upMm,
  }));
}

/** Tubes spread like a fan: a lamp at 60 mm lights those about 6 mm from the middle, on its own side. */
const shots = LAMPS.map(
  ({ acrossMm, upMm }, n): LitShot<LampShot> => ({
    shot: { photo: `lamp-${n}.png`, kind: 'lamp', stated: {}, acrossMm, upMm, distanceMm: DISTANCE_MM },
    light: {
      flux: Float64Array.from(TRUE, (tube) =>
        Math.exp(-0.5 * (Math.hypot(tube.acrossMm - acrossMm / 10, tube.upMm - upMm / 10) / 3) ** 2),
      ),
      sigma: new Float64Array(TRUE.length).fill(0.001),
      clipped: new Uint8Array(TRUE.length),
    },
  }),
);

describe('uprightPlaces', () => {
  test.each([12, -35, 90, 178])('a photo that shows the bundle turned by %i°: places as they are', (deg) => {
    const { places, turnedDeg } = uprightPlaces(turned(deg), shots);
    expect(Math.abs(turnedDeg - deg)).toBeLessThan(1);
    const off = places.map((one, k) =>
      Math.hypot(one.acrossMm - TRUE[k]!.acrossMm, one.upMm - TRUE[k]!.upMm),
    );
    // A degree at the rim, four pitches from the middle.
    expect(Math.max(...off)).toBeLessThan((4 * PITCH_MM * Math.PI) / 180);
  });

  test('too few lamps: as the photo shows it', () => {
    const seen = turned(12);
    expect(uprightPlaces(seen, shots.slice(0, 4))).toEqual({ places: seen, turnedDeg: 0 });
  });
});
