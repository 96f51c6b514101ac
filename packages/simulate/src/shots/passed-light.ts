import type { Bench } from '../array/bench.js';
import { mixCrosstalk } from '../array/crosstalk.js';
import type { PlannedShot } from '../plan/shots-format.js';
import { slantLoss } from './even-light.js';
import { type Lamp, lampLight } from './lamp-light.js';

/**
 * Light out of each tube in a shot, crosstalk included, lx·mm² at the sheet; one value a tube in reading order.
 * All 0 for a dark shot; a bare shot has no tubes and must not be asked for.
 */
export function lightOut(bench: Bench, shot: Exclude<PlannedShot, { kind: 'bare' }>): Float64Array {
  return mixCrosstalk(lightPassed(bench, shot), bench.leaks);
}

function lightPassed(bench: Bench, shot: Exclude<PlannedShot, { kind: 'bare' }>): Float64Array {
  const { tubes, plan } = bench;
  switch (shot.kind) {
    case 'dark':
      return new Float64Array(tubes.length);
    case 'even':
      return perTube(bench, (index) => evenPassed(bench, index));
    case 'single': {
      const lit = (shot.row - 1) * plan.array.columns + shot.column - 1;
      const scale = plan.light['single-lux'] / plan.light['even-lux'];
      return perTube(bench, (index) => (index === lit ? scale * evenPassed(bench, index) : 0));
    }
    case 'lamp':
      return lampsPassed(bench, [shot]);
    case 'pair':
      return lampsPassed(bench, pairPlaces(shot));
  }
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

function lampsPassed(bench: Bench, places: readonly LampPlace[]): Float64Array {
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
  return perTube(bench, (index) => {
    const tube = bench.tubes[index];
    if (tube.clarity === 0) return 0;
    const response = bench.responses[index];
    const bore = bench.boresMm[index];
    return tube.clarity * lamps.reduce((sum, lamp) => sum + lampLight(lamp, tube, response, bore), 0);
  });
}

function perTube(bench: Bench, light: (index: number) => number): Float64Array {
  return Float64Array.from(bench.tubes, (_, index) => light(index));
}
