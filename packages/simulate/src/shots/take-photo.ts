import type { Bench } from '../array/bench.js';
import { type Exposure, fullScaleLuxSeconds } from '../camera/exposure.js';
import { type PhotoPlace, type Projection, projection } from '../camera/projection.js';
import type { PlannedShot } from '../plan/shots-format.js';
import { drawSheet } from '../sheet/draw-sheet.js';
import { drawSpots, type Spot } from '../sheet/draw-spots.js';
import { haloLight, type SheetLight } from '../sheet/halo.js';
import type { Plane } from '../sheet/plane.js';
import { type SpotProfile, spotProfile } from '../sheet/spot-profile.js';
import { lightOut } from './passed-light.js';

/** How much light the frame around the sheet throws back, against a white sheet. */
const FRAME_ALBEDO = 0.25;
/** Brightness at the rim of a bent tube's spot against its middle, per bore of bow. */
const BOW_GRADIENT = 0.25;

/** Light on the sensor in one shot, before noise, lx at the sheet. */
export function lightOnSensor(bench: Bench, shot: PlannedShot, driftPx: PhotoPlace): Plane {
  const { photo } = bench.plan;
  const plane: Plane = {
    width: photo.width,
    height: photo.height,
    data: new Float32Array(photo.width * photo.height),
  };
  const view = projection(bench.plan, driftPx);
  if (shot.kind === 'bare') {
    drawSheet(plane, view, (place) => bench.even(place) + roomLux(bench), sheetEdge(bench, view));
    return plane;
  }
  const { 'halo-share': haloShare, 'halo-scale': haloScaleMm } = bench.plan.sheet;
  const out = lightOut(bench, shot);
  const halo = haloLight(
    bench.tubes.map((tube, i) => ({ middle: tube.back, light: out[i], radiusMm: bench.boresMm[i] / 2 })),
    haloShare,
    haloScaleMm,
  );
  const light: SheetLight = (place) => halo(place) + roomLux(bench);
  drawSheet(plane, view, light, sheetEdge(bench, view));
  drawSpots(plane, view, spotsOf(bench, view, out), 1 - haloShare);
  return plane;
}

/** Exposure of a shot: as the plan states it, or null where the camera chooses. */
export function statedExposure(shot: PlannedShot): Exposure | null {
  return shot.exposure !== undefined && shot.iso !== undefined
    ? { seconds: shot.exposure, iso: shot.iso }
    : null;
}

/** Share of full scale that 1 lx of sheet light gives. */
export function scalePerLux(exposure: Exposure, aperture: number): number {
  return (exposure.seconds * exposure.iso) / (100 * fullScaleLuxSeconds(aperture));
}

function roomLux(bench: Bench): number {
  return bench.plan.light['room-lux'];
}

function sheetEdge(bench: Bench, view: Projection) {
  const { array, sheet } = bench.plan;
  const bulge = Math.max(0, bench.plan.build['outline-bulge']);
  return {
    halfAcrossMm: (array.columns * array.backPitchMm) / 2 + bulge + sheet.margin,
    halfUpMm: (array.rows * array.backPitchMm) / 2 + bulge + sheet.margin,
    blurMm: blurMm(bench, view),
    frameLux: FRAME_ALBEDO * roomLux(bench),
  };
}

/** Blur of lens and sheet together, mm on the sheet. */
function blurMm(bench: Bench, view: Projection): number {
  return Math.hypot(bench.plan.camera['blur-px'] / view.scalePxPerMm, bench.plan.sheet.core);
}

function spotsOf(bench: Bench, view: Projection, out: Float64Array): Spot[] {
  const profiles = new Map<number, SpotProfile>();
  const profileOf = (bore: number) => {
    const known = profiles.get(bore) ?? spotProfile(bore / 2, blurMm(bench, view));
    profiles.set(bore, known);
    return known;
  };
  return bench.tubes.map((tube, i) => {
    const bore = bench.boresMm[i];
    const perMm = (BOW_GRADIENT * Math.min(1, tube.bowMm / bore)) / (bore / 2);
    return {
      middle: tube.back,
      light: out[i],
      profile: profileOf(bore),
      gradient: { acrossMm: perMm * Math.cos(tube.bowRad), upMm: perMm * Math.sin(tube.bowRad) },
    };
  });
}
