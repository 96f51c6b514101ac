import { circleOverlap, type Place } from '@twolamp/optics';
import type { Bench } from '../array/bench.js';
import { mixCrosstalk } from '../array/crosstalk.js';
import { litIndexOf } from '../array/tubes.js';
import type { PlannedScene, PlannedShot } from '../plan/shots-format.js';
import type { Crescent } from '../sheet/crescent.js';
import { slantLoss } from '../array/even-light.js';
import { type Lamp, lampLight } from './lamp-light.js';
import { type SceneGlimpse, sceneLight } from './scene-light.js';

/** Light that leaves the tubes at the sheet in one shot; one entry a tube in reading order. */
export interface TubeLight {
  /** Crosstalk included, lx·mm². */
  readonly out: Float64Array;
  /** Which part of it came straight through, and so does not fill the bore. */
  readonly crescents: readonly (readonly Crescent[])[];
  /** How brightness changes across the bores, relative per mm, as {@link Spot.gradient}; null where it doesn't. */
  readonly leans: readonly Place[] | null;
}

/** No light at all for a dark shot; a bare shot has no tubes and must not be asked for. */
export function tubeLight(
  bench: Bench,
  shot: Exclude<PlannedShot, { kind: 'bare' }> | PlannedScene,
): TubeLight {
  const { plan } = bench;
  switch (shot.kind) {
    case 'dark':
      return filledBores(bench, () => 0);
    case 'even':
      return filledBores(bench, (index) => evenPassed(bench, index));
    case 'single': {
      const lit = litIndexOf(plan, shot);
      const scale = plan.light['single-lux'] / plan.light['even-lux'];
      return filledBores(bench, (index) => (index === lit ? scale * evenPassed(bench, index) : 0));
    }
    case 'lamp':
      return lampsLight(bench, [shot]);
    case 'pair':
      return lampsLight(bench, pairPlaces(shot));
    case 'scene':
      return pictureLight(bench, shot);
  }
}

function filledBores(bench: Bench, passed: (index: number) => number): TubeLight {
  const { tubes, leaks } = bench;
  return {
    out: mixCrosstalk(
      Float64Array.from(tubes, (_, index) => passed(index)),
      leaks,
    ),
    crescents: tubes.map(() => []),
    leans: null,
  };
}

/** @throws RangeError where the scene's picture is not among the bench's */
function pictureLight(bench: Bench, scene: PlannedScene): TubeLight {
  const { plan, tubes, leaks } = bench;
  const picture = bench.pictures.get(scene.picture);
  if (picture === undefined) throw new RangeError(`pictures must hold ${scene.picture}`);
  const glimpse = sceneLight(
    {
      picture,
      widthMm: scene.width,
      distanceMm: scene.distance,
      // A white wall in the even light: illuminance = π · luminance.
      whiteNits: plan.light['even-lux'] / Math.PI,
    },
    plan.array.tubeLengthMm,
  );
  const tables = new Map(bench.responses.map((response) => [response, response.table(scene.distance)]));
  const glimpses = tubes.map((tube, i) => glimpse(tube, tables.get(bench.responses[i])!, bench.boresMm[i]));
  const out = mixCrosstalk(
    Float64Array.from(glimpses, ({ light }, i) => tubes[i].clarity * light),
    leaks,
  );
  return {
    out,
    crescents: tubes.map(() => []),
    leans: plan.sheet.spots === 'filled' ? null : tubes.map((_, i) => leanOf(bench, i, glimpses[i], out[i])),
  };
}

/** Gradient of a spot whose light, or the part that came straight through its own tube, has a moment about its middle. */
function leanOf(bench: Bench, index: number, { moment }: SceneGlimpse, out: number): Place {
  const radiusMm = bench.boresMm[index] / 2;
  const own = bench.tubes[index].clarity * (1 - strayShare(bench, index));
  // A disc of brightness 1 + g·x has its centre of gravity at g·radius²/4.
  const perMoment = out > 0 ? (4 * own) / (out * radiusMm ** 2) : 0;
  const steepness = perMoment * radiusMm * Math.hypot(moment.acrossMm, moment.upMm);
  // No place of it is darker than black.
  const scale = perMoment / Math.max(1, steepness);
  return { acrossMm: scale * moment.acrossMm, upMm: scale * moment.upMm };
}

function strayShare(bench: Bench, index: number): number {
  return bench.leaks[index].reduce((sum, leak) => sum + leak.share, 0);
}

/** Even light that passes a tube, lx·mm². */
export function evenPassed(bench: Bench, index: number): number {
  const tube = bench.tubes[index];
  const { centre, evenThroughput } = bench.responses[index].far;
  const aim = { across: tube.chord.across + centre.across, up: tube.chord.up + centre.up };
  return (
    tube.clarity *
    bench.even(tube.front) *
    evenThroughput *
    slantLoss(aim) *
    Math.PI *
    (bench.boresMm[index] / 2) ** 2
  );
}

/** Named as in the plan; mm. */
interface LampPlace {
  readonly across: number;
  readonly up: number;
  readonly distance: number;
}

/** Places of the two lamps of a pair: `turned` goes from side by side counter-clockwise. */
export function pairPlaces(shot: Extract<PlannedShot, { kind: 'pair' }>): [LampPlace, LampPlace] {
  const turn = (shot.turned * Math.PI) / 180;
  const across = (shot.spacing / 2) * Math.cos(turn);
  const up = (shot.spacing / 2) * Math.sin(turn);
  const { distance } = shot;
  return [
    { across: shot.across - across, up: shot.up - up, distance },
    { across: shot.across + across, up: shot.up + up, distance },
  ];
}

function lampsLight(bench: Bench, places: readonly LampPlace[]): TubeLight {
  const { diameter, candela } = bench.plan.lamp;
  const lamps = places.map(
    ({ across, up, distance }): Lamp => ({
      acrossMm: across,
      upMm: up,
      distanceMm: distance,
      diameterMm: diameter,
      candela,
    }),
  );
  const parts = bench.tubes.map((tube, index) =>
    tube.clarity === 0
      ? []
      : lamps.map((lamp) => ({
          lamp,
          light: tube.clarity * lampLight(lamp, tube, bench.responses[index], bench.boresMm[index]),
        })),
  );
  const passed = Float64Array.from(parts, (ofTube) => ofTube.reduce((sum, part) => sum + part.light, 0));
  return {
    out: mixCrosstalk(passed, bench.leaks),
    crescents: parts.map((ofTube, index) =>
      ofTube.flatMap(({ lamp, light }) => crescentOf(bench, index, lamp, light) ?? []),
    ),
    leans: null,
  };
}

/** The part of a lamp's light that a straight tube passes without a bounce; null where there is none to speak of. */
function crescentOf(bench: Bench, index: number, lamp: Lamp, light: number): Crescent | null {
  const tube = bench.tubes[index];
  const lengthMm = bench.plan.array.tubeLengthMm;
  const across = (lamp.acrossMm - tube.front.acrossMm) / lamp.distanceMm - tube.chord.across;
  const up = (lamp.upMm - tube.front.upMm) / lamp.distanceMm - tube.chord.up;
  // A near lamp throws a circle 1 + L/D times the bore; two circles of the mean width touch at the same shift.
  const perSlopeMm = lengthMm / (1 + lengthMm / (2 * lamp.distanceMm));
  const shiftBores = (perSlopeMm * Math.hypot(across, up)) / bench.boresMm[index];
  const direct = circleOverlap(shiftBores);
  if (bench.plan.sheet.spots === 'filled' || tube.bowMm > 0 || direct === 0) return null;
  const share = Math.min(1, direct / bench.responses[index].at(across, up, lamp.distanceMm));
  return {
    light: light * share * (1 - strayShare(bench, index)),
    // The beam goes on towards the back: a lamp to the right lights the left of the bore.
    shift: { acrossMm: -perSlopeMm * across, upMm: -perSlopeMm * up },
  };
}
