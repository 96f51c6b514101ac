import { expect, test } from 'vitest';
import { startExposure } from './start-exposure.js';

// ISO 12232: saturation at 78 ÷ S lx·s, and H = 0.65·L·t/N² (both from memory): at ISO 100, f/1.8 and three quarters of
// saturation, t = 0.75·0.78·3.24 ÷ 0.65 ÷ L = 2.916 s ÷ L.
test.each([
  {
    throughput: 1e-3,
    distanceMm: 2000,
    skyS: 2.916 / 1,
    wallS: 2.916 / 0.055,
    lampS: (2.916 * 2 * Math.PI) / 2,
  },
  {
    throughput: 4e-3,
    distanceMm: 1000,
    skyS: 2.916 / 4,
    wallS: 2.916 / 0.22,
    lampS: (2.916 * 2 * Math.PI) / 8,
  },
])('$throughput of even light, lamp at $distanceMm mm', ({ throughput, distanceMm, skyS, wallS, lampS }) => {
  const start = startExposure(throughput, distanceMm);
  expect(start.overcastSkyS / skyS).toBeCloseTo(1, 9);
  expect(start.litWallS / wallS).toBeCloseTo(1, 9);
  expect(start.lampS / lampS).toBeCloseTo(1, 9);
});
