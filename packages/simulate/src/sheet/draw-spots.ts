import type { Place } from '@twolamp/optics';
import type { Projection } from '../camera/projection.js';
import { type Crescent, crescentAt, type CrescentImage } from './crescent.js';
import type { Plane } from '../camera/plane.js';
import { brightnessAt, type SpotProfile } from './spot-profile.js';

/** One tube's light on the sheet. */
export interface Spot {
  readonly middle: Place;
  /** lx·mm² that leave the tube. */
  readonly light: number;
  readonly profile: SpotProfile;
  /**
   * How the brightness changes across the spot: relative per mm, 0 in the middle. A bent tube lights the outer side of
   * its bow more; a gradient moves light, it adds none.
   */
  readonly gradient: Place;
  /** The part of the light that does not fill the bore. */
  readonly crescents: readonly Crescent[];
  /** Images of crescents by their shift. */
  readonly crescentOf: (shiftMm: number) => CrescentImage;
}

/** Abscissa of the two-point Gauss-Legendre rule on a pixel, from its middle. */
const INSIDE_PIXEL = 0.5 / Math.sqrt(3);
const STEP_MM = 0.01;

/**
 * Adds spots to a photo, each pixel averaged over its area (Gauss-Legendre, 2 × 2 points).
 *
 * @param scale - factor on each spot's light
 *
 * Over the size of a spot the map from sheet to photo is taken as affine.
 */
export function drawSpots(plane: Plane, view: Projection, spots: readonly Spot[], scale: number): void {
  for (const spot of spots) if (spot.light > 0) drawSpot(plane, view, spot, scale);
}

function drawSpot(plane: Plane, view: Projection, spot: Spot, scale: number): void {
  const { middle, profile, gradient } = spot;
  const centre = view.toPhoto(middle);
  // Affine map of mm onto px about the spot's middle, by central differences.
  const right = difference(view, middle, STEP_MM, 0);
  const up = difference(view, middle, 0, STEP_MM);
  const determinant = right.xPx * up.yPx - right.yPx * up.xPx;
  const [mmPerX, mmPerY] = [
    { acrossMm: up.yPx / determinant, upMm: -right.yPx / determinant },
    { acrossMm: -up.xPx / determinant, upMm: right.xPx / determinant },
  ];
  const reachX = profile.reachMm * Math.hypot(right.xPx, up.xPx) + 1;
  const reachY = profile.reachMm * Math.hypot(right.yPx, up.yPx) + 1;
  const fromX = Math.max(0, Math.ceil(centre.xPx - reachX));
  const toX = Math.min(plane.width - 1, Math.floor(centre.xPx + reachX));
  const fromY = Math.max(0, Math.ceil(centre.yPx - reachY));
  const toY = Math.min(plane.height - 1, Math.floor(centre.yPx + reachY));
  const crescents = spot.crescents.map(({ light, shift }) => {
    const shiftMm = Math.hypot(shift.acrossMm, shift.upMm);
    const angle = Math.atan2(shift.upMm, shift.acrossMm);
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    return { light, image: spot.crescentOf(shiftMm), halfShiftMm: shiftMm / 2, cos, sin };
  });
  const discLight = spot.light - spot.crescents.reduce((all, crescent) => all + crescent.light, 0);
  for (let y = fromY; y <= toY; y++) {
    for (let x = fromX; x <= toX; x++) {
      let sum = 0;
      for (let corner = 0; corner < 4; corner++) {
        const dx = x - centre.xPx + (corner & 1 ? INSIDE_PIXEL : -INSIDE_PIXEL);
        const dy = y - centre.yPx + (corner & 2 ? INSIDE_PIXEL : -INSIDE_PIXEL);
        const across = dx * mmPerX.acrossMm + dy * mmPerY.acrossMm;
        const above = dx * mmPerX.upMm + dy * mmPerY.upMm;
        const share = brightnessAt(profile, across * across + above * above);
        sum += share * discLight * (1 + gradient.acrossMm * across + gradient.upMm * above);
        for (const { light, image, halfShiftMm, cos, sin } of crescents) {
          sum +=
            light * crescentAt(image, cos * across + sin * above - halfShiftMm, cos * above - sin * across);
        }
      }
      if (sum > 0) plane.data[y * plane.width + x] += (scale / 4) * sum * view.vignette(x, y);
    }
  }
}

function difference(view: Projection, { acrossMm, upMm }: Place, across: number, up: number) {
  const plus = view.toPhoto({ acrossMm: acrossMm + across, upMm: upMm + up });
  const minus = view.toPhoto({ acrossMm: acrossMm - across, upMm: upMm - up });
  return { xPx: (plus.xPx - minus.xPx) / (2 * STEP_MM), yPx: (plus.yPx - minus.yPx) / (2 * STEP_MM) };
}
