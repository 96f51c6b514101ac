import { type Acceptance, circleOverlap, type Place } from '@twolamp/optics';
import type { LinearPhoto } from '@twolamp/session';
import type { Tube } from '../array/tubes.js';

/** A picture that hangs square before the array, its middle on the array's normal; all around it is dark. */
export interface HungPicture {
  /** Its light, 1 = white; row-major, top left first. */
  readonly picture: LinearPhoto;
  readonly widthMm: number;
  /** From the front face. */
  readonly distanceMm: number;
  /** Luminance of its white, cd/m². */
  readonly whiteNits: number;
}

/** Light of a scene that passes one tube. */
export interface SceneGlimpse {
  /** lx·mm² */
  readonly light: number;
  /**
   * First moment of its part that came straight through, about the middle of the tube's end, lx·mm³: light from the right
   * falls on the left of the bore.
   */
  readonly moment: Place;
}

/** What a tube passes of one hung picture. */
export type SceneLight = (
  tube: Pick<Tube, 'front' | 'chord' | 'bowMm'>,
  acceptance: Acceptance,
  boreMm: number,
) => SceneGlimpse;

/** Directions are summed in rectangles with edges at core·sinh of even steps: small near the tube's axis, wider aside. */
const STEP = 0.08;
/** Their size near the axis, in steps, against the half angle that a black tube sees. */
const CORE = 0.5;
/** Slopes beyond this pass nothing that counts. */
const STEEPEST = 20;

/**
 * Sums a picture over everything that a tube sees of it: mean luminance in small rectangles of directions, times the
 * tube's acceptance in their middles, times cos⁴ of the slant (a dull surface, its distance, the slant of the front face).
 *
 * @param acceptance - of light from the picture's distance
 * @param lengthMm - of the tubes
 */
export function sceneLight(hung: HungPicture, lengthMm: number): SceneLight {
  const { distanceMm, whiteNits } = hung;
  const lightIn = sumsOver(hung);
  const halfAcross = hung.widthMm / 2;
  const halfUp = (halfAcross * hung.picture.height) / hung.picture.width;
  // A near point throws a circle 1 + L/D times the bore; two circles of the mean width touch at the same shift.
  const perSlopeMm = lengthMm / (1 + lengthMm / (2 * distanceMm));
  return ({ front, chord, bowMm }, acceptance, boreMm) => {
    const core = (CORE * boreMm) / lengthMm;
    const across = strips(
      core,
      chord.across + acceptance.centre.across,
      (-halfAcross - front.acrossMm) / distanceMm,
      (halfAcross - front.acrossMm) / distanceMm,
    );
    const up = strips(
      core,
      chord.up + acceptance.centre.up,
      (-halfUp - front.upMm) / distanceMm,
      (halfUp - front.upMm) / distanceMm,
    );
    let light = 0;
    const moment = { across: 0, up: 0 };
    for (let v = 0; v + 1 < up.length; v++) {
      const slopeUp = (up[v] + up[v + 1]) / 2;
      for (let u = 0; u + 1 < across.length; u++) {
        const slopeAcross = (across[u] + across[u + 1]) / 2;
        const asideAcross = slopeAcross - chord.across;
        const asideUp = slopeUp - chord.up;
        const accepted = acceptance.at(asideAcross, asideUp);
        if (accepted === 0) continue;
        const shining = lightIn(
          front.acrossMm + across[u] * distanceMm,
          front.acrossMm + across[u + 1] * distanceMm,
          front.upMm + up[v] * distanceMm,
          front.upMm + up[v + 1] * distanceMm,
        );
        const arriving = shining / (1 + slopeAcross ** 2 + slopeUp ** 2) ** 2;
        light += accepted * arriving;
        if (bowMm > 0) continue;
        const shift = (perSlopeMm * Math.hypot(asideAcross, asideUp)) / boreMm;
        const direct = Math.min(accepted, circleOverlap(shift)) * arriving;
        // What two equal circles have in common lies half-way between their middles.
        moment.across -= (direct * perSlopeMm * asideAcross) / 2;
        moment.up -= (direct * perSlopeMm * asideUp) / 2;
      }
    }
    const scale = (whiteNits / distanceMm ** 2) * Math.PI * (boreMm / 2) ** 2;
    return { light: scale * light, moment: { acrossMm: scale * moment.across, upMm: scale * moment.up } };
  };
}

/** Edges of strips between two slopes, closest together about the middle. */
function strips(core: number, middle: number, from: number, to: number): number[] {
  const place = (slope: number) => Math.asinh((slope - middle) / core) / STEP;
  const most = Math.asinh(STEEPEST / core) / STEP;
  const first = Math.max(place(from), -most);
  const last = Math.min(place(to), most);
  if (!(first < last)) return [];
  const edges = [from];
  for (let i = Math.floor(first) + 1; i < last; i++) edges.push(middle + core * Math.sinh(i * STEP));
  return [...edges, to];
}

/** Light of a picture times area, mm², over rectangles inside it, from a table of sums up to each pixel's corner. */
function sumsOver({ picture, widthMm }: HungPicture) {
  const { width, height, light } = picture;
  const pixelMm = widthMm / width;
  const stride = width + 1;
  const sums = new Float64Array(stride * (height + 1));
  for (let y = 0; y < height; y++) {
    let row = 0;
    for (let x = 0; x < width; x++) {
      row += light[y * width + x];
      sums[(y + 1) * stride + x + 1] = sums[y * stride + x + 1] + row;
    }
  }
  /** Over all that lies left of and above a place, px from the top left corner. */
  const upTo = (x: number, y: number): number => {
    const column = Math.min(width - 1, Math.max(0, Math.floor(x)));
    const row = Math.min(height - 1, Math.max(0, Math.floor(y)));
    const at = row * stride + column;
    const [right, down] = [x - column, y - row];
    const above = sums[at] + right * (sums[at + 1] - sums[at]);
    const below = sums[at + stride] + right * (sums[at + stride + 1] - sums[at + stride]);
    return above + down * (below - above);
  };
  return (leftMm: number, rightMm: number, bottomMm: number, topMm: number): number => {
    const [left, right] = [leftMm / pixelMm + width / 2, rightMm / pixelMm + width / 2];
    const [top, bottom] = [height / 2 - topMm / pixelMm, height / 2 - bottomMm / pixelMm];
    return (
      (upTo(right, bottom) - upTo(left, bottom) - upTo(right, top) + upTo(left, top)) * pixelMm * pixelMm
    );
  };
}
