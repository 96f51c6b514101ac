import { type ArrayGeometry, angularPitch, axisSpacingMm, type Random } from '@twolamp/optics';
import type { LampShot, PairShot } from '@twolamp/session';
import type { CellLight, LitShot } from '../cell-light.js';
import { cellPlaces, type RelativeTransmission } from './shot-view.js';

/** For tests: cell fluxes from closed forms, with the errors of a bench, nothing of the simulator's. */
export interface BenchSpec {
  readonly array: ArrayGeometry;
  /** Light of a straight, well-aimed tube against slope. */
  readonly response: (slope: number) => number;
  /** Standard deviation of the tubes' pointing errors in each direction, as a slope. */
  readonly pointingScatter: number;
  readonly transmissionScatter: number;
  /** Relative error of the transmission as measured. */
  readonly transmissionError: number;
  /** Photon noise: variance = gain × light, the peak of a lamp being 1; and a constant part. */
  readonly gain: number;
  readonly read: number;
  readonly blockedShare: number;
  /** Whole array turned against the tape measure's frame, slopes. */
  readonly aim: { readonly across: number; readonly up: number };
  readonly floor: number;
}

export interface Bench {
  readonly transmission: RelativeTransmission;
  readonly light: <S extends LampShot | PairShot>(shot: S) => LitShot<S>;
}

const RADIANS = Math.PI / 180;

export function syntheticBench(spec: BenchSpec, random: Random): Bench {
  const { array } = spec;
  const places = cellPlaces(array);
  const count = places.across.length;
  const make = (value: () => number) => Float64Array.from({ length: count }, value);
  const passes = make(() =>
    random.uniform() < spec.blockedShare ? 0 : 1 + spec.transmissionScatter * random.normal(),
  );
  const errorAcross = make(() => spec.pointingScatter * random.normal());
  const errorUp = make(() => spec.pointingScatter * random.normal());
  const light = <S extends LampShot | PairShot>(shot: S): LitShot<S> => {
    const slopePerPitch = angularPitch(array, shot.distanceMm);
    const spacingMm = axisSpacingMm(array, shot.distanceMm);
    const half = shot.kind === 'pair' ? shot.spacingMm / 2 : 0;
    const turned = shot.kind === 'pair' ? shot.turnedDeg * RADIANS : 0;
    const lamps = (shot.kind === 'pair' ? [-1, 1] : [0]).map((side) => ({
      across: (shot.acrossMm + side * half * Math.cos(turned)) / spacingMm + spec.aim.across / slopePerPitch,
      up: (shot.upMm + side * half * Math.sin(turned)) / spacingMm + spec.aim.up / slopePerPitch,
    }));
    const sigma = new Float64Array(count);
    const flux = Float64Array.from({ length: count }, (_, i) => {
      let clean = spec.floor;
      for (const lamp of lamps) {
        const across = (lamp.across - places.across[i]!) * slopePerPitch - errorAcross[i]!;
        const up = (lamp.up - places.up[i]!) * slopePerPitch - errorUp[i]!;
        clean += passes[i]! * spec.response(Math.hypot(across, up));
      }
      sigma[i] = Math.sqrt(spec.read ** 2 + spec.gain * clean);
      return clean + sigma[i]! * random.normal();
    });
    const cells: CellLight = { flux, sigma, clipped: new Uint8Array(count) };
    return { shot, light: cells };
  };
  const relative = passes.map((value) => value * (1 + spec.transmissionError * random.normal()));
  return { transmission: { relative, sigma: make(() => spec.transmissionError) }, light };
}

export function lampShot(acrossMm: number, upMm: number, distanceMm: number): LampShot {
  return { photo: `lamp ${acrossMm} ${upMm}`, stated: {}, kind: 'lamp', acrossMm, upMm, distanceMm };
}

export function pairShot(
  spacingMm: number,
  distanceMm: number,
  turnedDeg = 0,
  acrossMm = 0,
  upMm = 0,
): PairShot {
  const photo = `pair ${spacingMm} at ${distanceMm}, ${turnedDeg} deg, ${acrossMm} ${upMm}`;
  return { photo, stated: {}, kind: 'pair', spacingMm, distanceMm, turnedDeg, acrossMm, upMm };
}
