import type { Place } from '@twolamp/optics';
import type { Bench } from '../array/bench.js';
import { cellsExtentMm } from '../array/extent.js';
import { type Exposure, fullScaleLuxSeconds } from '../camera/exposure.js';
import { type PictureMove, projection, UNMOVED } from '../camera/projection.js';
import type { PlannedScene, PlannedShot } from '../plan/shots-format.js';
import { crescentImages } from '../sheet/crescent.js';
import { drawSheet, type SheetEdge } from '../sheet/draw-sheet.js';
import { drawSpots, type Spot } from '../sheet/draw-spots.js';
import { haloLight } from '../sheet/halo.js';
import type { Plane } from '../camera/plane.js';
import { spotProfile } from '../sheet/spot-profile.js';
import { tubeLight } from './passed-light.js';

/** How much light the frame around the sheet throws back, against a white sheet. */
const FRAME_ALBEDO = 0.25;
/** Brightness at the rim of a bent tube's spot against its middle, per bore of bow. */
const BOW_GRADIENT = 0.25;

/** Light on the sensor in one shot, before noise, lx at the sheet. */
export type Photographer = (shot: PlannedShot | PlannedScene, move: PictureMove) => Plane;

/** Sets the camera up before the bench, once for all shots. */
export function photographer(bench: Bench): Photographer {
  const { photo, light, sheet, camera, array, build } = bench.plan;
  const roomLux = light['room-lux'];
  const { scalePxPerMm } = projection(bench.plan, UNMOVED);
  /** Blur of lens and sheet together. */
  const blurMm = Math.hypot(camera['blur-px'] / scalePxPerMm, sheet.core);
  const cells = cellsExtentMm(array);
  const bulgeMm = Math.max(0, build['outline-bulge']);
  const edge: SheetEdge = {
    halfAcrossMm: cells.across / 2 + bulgeMm + sheet.margin,
    halfUpMm: cells.up / 2 + bulgeMm + sheet.margin,
    blurMm,
    frameLux: FRAME_ALBEDO * roomLux,
  };
  const spots = darkSpots(bench, blurMm);

  return (shot, move) => {
    const plane: Plane = {
      width: photo.width,
      height: photo.height,
      data: new Float32Array(photo.width * photo.height),
    };
    const view = projection(bench.plan, move);
    if (shot.kind === 'bare') {
      drawSheet(plane, view, (place) => bench.even(place) + roomLux, edge);
      return plane;
    }
    const { out, crescents, leans } = tubeLight(bench, shot);
    const haloShare = sheet['halo-share'];
    const halo = haloLight(
      bench.tubes.map((tube, i) => ({ middle: tube.back, light: out[i], radiusMm: bench.boresMm[i] / 2 })),
      haloShare,
      sheet['halo-scale'],
    );
    drawSheet(plane, view, (place) => halo(place) + roomLux, edge);
    const litSpots = spots.map((spot, i) => ({
      ...spot,
      light: out[i],
      crescents: crescents[i],
      gradient: leans ? steeper(spot.gradient, leans[i]) : spot.gradient,
    }));
    drawSpots(plane, view, litSpots, 1 - haloShare);
    return plane;
  };
}

/** Exposure of a shot: as the plan states it, or null where the camera chooses. */
export function statedExposure(shot: PlannedShot | PlannedScene): Exposure | null {
  return shot.exposure !== undefined && shot.iso !== undefined
    ? { seconds: shot.exposure, iso: shot.iso }
    : null;
}

function steeper(one: Place, other: Place): Place {
  return { acrossMm: one.acrossMm + other.acrossMm, upMm: one.upMm + other.upMm };
}

/** Share of full scale that 1 lx of sheet light gives. */
export function scalePerLux(exposure: Exposure, aperture: number): number {
  return (exposure.seconds * exposure.iso) / (100 * fullScaleLuxSeconds(aperture));
}

/** The spot of each tube, before a shot lights it. */
function darkSpots(bench: Bench, blurMm: number): Omit<Spot, 'light' | 'crescents'>[] {
  const shapes = new Map<number, Pick<Spot, 'profile' | 'crescentOf'>>();
  return bench.tubes.map((tube, i) => {
    const bore = bench.boresMm[i];
    const shape = shapes.get(bore) ?? spotShape(bore / 2, blurMm);
    shapes.set(bore, shape);
    const perMm = (BOW_GRADIENT * Math.min(1, tube.bowMm / bore)) / (bore / 2);
    const gradient = { acrossMm: perMm * Math.cos(tube.bowRad), upMm: perMm * Math.sin(tube.bowRad) };
    return { middle: tube.back, ...shape, gradient };
  });
}

function spotShape(radiusMm: number, blurMm: number): Pick<Spot, 'profile' | 'crescentOf'> {
  return { profile: spotProfile(radiusMm, blurMm), crescentOf: crescentImages(radiusMm, blurMm) };
}
