import type { Place } from '@twolamp/optics';
import { cellsExtentMm } from '../array/extent.js';
import type { Plan } from '../plan/plan-format.js';

/** Place in an upright photo: middle of the top-left pixel = (0, 0), x right, y down. */
interface PhotoPlace {
  readonly xPx: number;
  readonly yPx: number;
}

/** By how much the picture has moved against the first one; a bumped camera is turned as well. */
export interface PictureMove extends PhotoPlace {
  readonly rollDeg?: number;
}

export const UNMOVED: PictureMove = { xPx: 0, yPx: 0 };

/** Where the camera stands, and how sheet and photo map onto each other. */
export interface Projection {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Px per mm in the middle of the sheet. */
  readonly scalePxPerMm: number;
  toPhoto(place: Place): PhotoPlace;
  toSheet(place: PhotoPlace): Place;
  /** Share of the light that vignetting leaves. */
  vignette(xPx: number, yPx: number): number;
}

type Row = readonly [number, number, number];
const UNDISTORT_STEPS = 30;

/**
 * A pinhole camera behind the sheet that looks at its middle, with one term of radial distortion.
 *
 * @param move - how the picture has moved
 *
 * Distortion: r' = r·(1 + k1·r²), radii in half diagonals of the photo, from its middle (Brown, Photogrammetric
 * Engineering 32:444, 1966, first term). Vignetting: light 1 − v·r² (common practice, no source).
 */
export function projection(plan: Plan, move: PictureMove): Projection {
  const { array, camera, photo } = plan;
  const cells = cellsExtentMm(array);
  const scale = camera.framing * Math.min(photo.width / cells.across, photo.height / cells.up);
  const focalPx = scale * camera.distance;
  const turned = rotation(camera.tilt, camera.turn, camera.roll + (move.rollDeg ?? 0));
  const middle = { x: (photo.width - 1) / 2, y: (photo.height - 1) / 2 };
  const halfDiagonal = Math.hypot(photo.width, photo.height) / 2;
  const k1 = camera.distortion;

  const toPhoto = ({ acrossMm, upMm }: Place): PhotoPlace => {
    const [x, y, away] = turned.map((row) => row[0] * acrossMm - row[1] * upMm) as [number, number, number];
    const perDepth = focalPx / (camera.distance + away);
    const radius2 = (perDepth / halfDiagonal) ** 2 * (x * x + y * y);
    const factor = perDepth * (1 + k1 * radius2);
    return { xPx: middle.x + x * factor + move.xPx, yPx: middle.y + y * factor + move.yPx };
  };

  const toSheet = ({ xPx, yPx }: PhotoPlace): Place => {
    const x = xPx - move.xPx - middle.x;
    const y = yPx - move.yPx - middle.y;
    const shrink = undistorted(Math.hypot(x, y) / halfDiagonal, k1) / focalPx;
    const u = x * shrink;
    const v = y * shrink;
    // The ray (u, v, 1)·t meets the sheet: R·(a, b, 0) + (0, 0, distance) = t·(u, v, 1), solved for a and b.
    const [[r00, r01], [r10, r11], [r20, r21]] = turned as unknown as [Row, Row, Row];
    const a0 = r00 - u * r20;
    const a1 = r01 - u * r21;
    const b0 = r10 - v * r20;
    const b1 = r11 - v * r21;
    const determinant = a0 * b1 - a1 * b0;
    const right = (u * b1 - v * a1) * camera.distance;
    const down = (a0 * v - b0 * u) * camera.distance;
    return { acrossMm: right / determinant, upMm: -down / determinant };
  };

  return {
    widthPx: photo.width,
    heightPx: photo.height,
    scalePxPerMm: scale,
    toPhoto,
    toSheet,
    vignette: (xPx, yPx) =>
      1 - (camera.vignetting * ((xPx - middle.x) ** 2 + (yPx - middle.y) ** 2)) / halfDiagonal ** 2,
  };
}

/** Ratio of the undistorted to the distorted radius: Newton's method on r + k1·r³ = distorted. */
function undistorted(distorted: number, k1: number): number {
  if (k1 === 0 || distorted === 0) return 1;
  let radius = distorted;
  for (let i = 0; i < UNDISTORT_STEPS; i++) {
    const step = (radius + k1 * radius ** 3 - distorted) / (1 + 3 * k1 * radius ** 2);
    radius -= step;
    if (Math.abs(step) < 1e-14) break;
  }
  return radius / distorted;
}

/** Rows of the matrix that turns sheet co-ordinates (right, down, away from the camera) into the camera's. */
function rotation(tiltDeg: number, turnDeg: number, rollDeg: number): [Row, Row, Row] {
  const [t, u, r] = [tiltDeg, turnDeg, rollDeg].map((deg) => (deg * Math.PI) / 180) as [
    number,
    number,
    number,
  ];
  const [ct, st, cu, su, cr, sr] = [
    Math.cos(t),
    Math.sin(t),
    Math.cos(u),
    Math.sin(u),
    Math.cos(r),
    Math.sin(r),
  ];
  // Tilt about the horizontal brings the top nearer, then turn about the vertical the right side, then roll.
  const tilted: [Row, Row, Row] = [
    [1, 0, 0],
    [0, ct, -st],
    [0, st, ct],
  ];
  const turnedRows: [Row, Row, Row] = [
    [cu, 0, su],
    [0, 1, 0],
    [-su, 0, cu],
  ];
  const rolled: [Row, Row, Row] = [
    [cr, -sr, 0],
    [sr, cr, 0],
    [0, 0, 1],
  ];
  return multiply(rolled, multiply(turnedRows, tilted));
}

function multiply(a: [Row, Row, Row], b: [Row, Row, Row]): [Row, Row, Row] {
  return a.map((row) =>
    [0, 1, 2].map((k) => row[0] * b[0][k] + row[1] * b[1][k] + row[2] * b[2][k]),
  ) as unknown as [Row, Row, Row];
}
