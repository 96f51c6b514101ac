import { describe, expect, test } from 'vitest';
import { projection } from '../camera/projection.js';
import { smallPlan } from '../fixtures/small-plan.js';
import { crescentImages } from './crescent.js';
import { drawSpots } from './draw-spots.js';
import type { Plane } from '../camera/plane.js';
import { spotProfile } from './spot-profile.js';

const CAMERAS = [
  '{ blur-px: 0.6 }',
  '{ blur-px: 1.2, tilt: 6 deg, turn: -4 deg, roll: 3 deg }',
  '{ blur-px: 0.8, distance: 200 mm, distortion: -0.05 }',
];
const PLACES = [
  { acrossMm: 0, upMm: 0 },
  { acrossMm: -8.137, upMm: 5.911 },
  { acrossMm: 7.77, upMm: -4.44 },
];
const DRIFTS = [
  { xPx: 0, yPx: 0 },
  { xPx: 0.25, yPx: -0.4 },
];
const STILL = { acrossMm: 0, upMm: 0 };
const FILLED = { crescents: [], crescentOf: crescentImages(0.8, 0.1) };

function draw(
  camera: string,
  driftPx: { xPx: number; yPx: number },
  middle: { acrossMm: number; upMm: number },
) {
  const plan = smallPlan({ camera });
  const view = projection(plan, driftPx);
  const plane: Plane = { width: 280, height: 200, data: new Float32Array(280 * 200) };
  const profile = spotProfile(0.8, plan.camera['blur-px'] / view.scalePxPerMm);
  drawSpots(plane, view, [{ middle, light: 3, profile, gradient: STILL, ...FILLED }], 1);
  return { plane, view };
}

function moments({ width, data }: Plane) {
  let sum = 0;
  let x = 0;
  let y = 0;
  data.forEach((value, i) => {
    sum += value;
    x += value * (i % width);
    y += value * Math.floor(i / width);
  });
  return { sum, xPx: x / sum, yPx: y / sum };
}

describe('drawSpots', () => {
  for (const camera of CAMERAS) {
    test.each(PLACES)(`camera ${camera}: the spot at %o lies where the camera sees it`, (middle) => {
      for (const drift of DRIFTS) {
        const { plane, view } = draw(camera, drift, middle);
        const { xPx, yPx } = moments(plane);
        const place = view.toPhoto(middle);
        // A hundredth of a pixel, a fifth of what the measurement must reach.
        expect(Math.hypot(xPx - place.xPx, yPx - place.yPx)).toBeLessThan(0.01);
      }
    });
  }

  test('no light is lost: pixels times mm² per pixel give what the tube sent out', () => {
    for (const middle of PLACES) {
      const { plane, view } = draw('{ blur-px: 0.6 }', DRIFTS[1], middle);
      expect(Math.abs(moments(plane).sum / view.scalePxPerMm ** 2 / 3 - 1)).toBeLessThan(1e-3);
    }
  });

  test('a gradient moves light and adds none', () => {
    const plan = smallPlan();
    const view = projection(plan, DRIFTS[0]);
    const plane: Plane = { width: 280, height: 200, data: new Float32Array(280 * 200) };
    const profile = spotProfile(0.8, 0.05);
    drawSpots(
      plane,
      view,
      [{ middle: STILL, light: 3, profile, gradient: { acrossMm: 0.2, upMm: 0 }, ...FILLED }],
      1,
    );
    const { sum, xPx } = moments(plane);
    expect(Math.abs(sum / view.scalePxPerMm ** 2 / 3 - 1)).toBeLessThan(1e-3);
    // Centroid of 1 + g·x over a blurred disc: g times its variance on one axis, R²/4 + σ².
    const shiftMm = 0.2 * (0.8 ** 2 / 4 + 0.05 ** 2);
    expect(Math.abs((xPx - 139.5) / view.scalePxPerMm - shiftMm)).toBeLessThan(1e-3 * shiftMm + 1e-4);
  });

  test('a crescent has all of its light, on the side it is shifted to: centroid of two circles in common', () => {
    const view = projection(smallPlan({ camera: '{ blur-px: 0.4 }' }), DRIFTS[0]);
    const plane: Plane = { width: 280, height: 200, data: new Float32Array(280 * 200) };
    const profile = spotProfile(1.2, 0.03);
    const crescents = [{ light: 3, shift: { acrossMm: -0.9, upMm: 0 } }];
    const spot = {
      middle: STILL,
      light: 3,
      profile,
      gradient: STILL,
      crescents,
      crescentOf: crescentImages(1.2, 0.03),
    };
    drawSpots(plane, view, [spot], 1);
    const { sum, xPx, yPx } = moments(plane);
    expect(Math.abs(sum / view.scalePxPerMm ** 2 / 3 - 1)).toBeLessThan(1e-3);
    // What two equal circles share is symmetrical about the middle between them.
    expect(Math.abs((xPx - 139.5) / view.scalePxPerMm + 0.45)).toBeLessThan(0.002);
    expect(Math.abs(yPx - 99.5)).toBeLessThan(0.01);
  });

  test('a spot over the edge of the photo is cut off, one outside leaves nothing', () => {
    const whole = moments(draw('{ blur-px: 0.6 }', { xPx: 0, yPx: 0 }, STILL).plane).sum;
    const half = moments(draw('{ blur-px: 0.6 }', { xPx: -140, yPx: 0 }, STILL).plane).sum;
    // The middle falls on x = −0.5, the very edge of the first pixel.
    expect(Math.abs(half / whole - 0.5)).toBeLessThan(1e-3);
    expect(moments(draw('{ blur-px: 0.6 }', { xPx: 400, yPx: 0 }, STILL).plane).sum).toBe(0);
  });
});
