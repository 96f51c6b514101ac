import type { PitchPlace } from './lamp-places.js';
import type { Source, SourceModel } from './source-fit.js';

/** How far the fit may go from what is known beforehand: standard uncertainties. */
export interface Knowledge {
  /** Of a lamp's or pair's place, pitches. */
  readonly placePitches: number;
  /** Of the width factor, relative. */
  readonly width: number;
  /** Of the lamps' separation, relative: spacing and distance come from a tape measure. */
  readonly separation: number;
}

/** Two lamps bought as equal; relative (common practice, no source). */
const BALANCE = 0.3;
/** The brightest cell tells a lamp's light so far, natural logarithm (common practice, no source). */
const AMPLITUDE_LN = 0.5;
/** The lamps' line is held by eye and tape, radians (common practice, no source). */
const TURN_RAD = 0.05;
/** The dark frame is off already: what is left of a floor, against the lamp's light (common practice, no source). */
const FLOOR_SHARE = 0.03;

/**
 * The model of a shot with one or two lamps.
 *
 * @param start - place of the shot, in pitches
 * @param offsets - from there to each lamp, as expected
 * @param amplitude - light of a tube that looks straight at a lamp, as far as known
 */
export function lampModel(
  start: PitchPlace,
  offsets: readonly PitchPlace[],
  amplitude: number,
  knowledge: Knowledge,
): SourceModel {
  return offsets.length === 1
    ? oneLampModel(start, amplitude, knowledge)
    : twoLampModel(start, offsets[1]!, amplitude, knowledge);
}

/** One lamp: across, up, ln amplitude, floor, ln width factor. */
function oneLampModel(start: PitchPlace, amplitude: number, knowledge: Knowledge): SourceModel {
  const floorSize = FLOOR_SHARE * amplitude;
  return {
    start: [start.across, start.up, Math.log(amplitude), 0, 0],
    scale: [0.1, 0.1, 0.1, floorSize, 0.1],
    sources: (p) => [{ across: p[0]!, up: p[1]!, amplitude: Math.exp(p[2]!), widthFactor: Math.exp(p[4]!) }],
    floor: (p) => p[3]!,
    known: (p) => [
      (p[0]! - start.across) / knowledge.placePitches,
      (p[1]! - start.up) / knowledge.placePitches,
      (p[2]! - Math.log(amplitude)) / AMPLITUDE_LN,
      p[3]! / floorSize,
      p[4]! / knowledge.width,
    ],
  };
}

/**
 * Two lamps: across and up of their middle, ln of the separation against the expected one, turn against the expected
 * one, ln amplitudes, floor, ln width factor.
 *
 * @param half - expected, from the middle to the second lamp
 */
function twoLampModel(
  start: PitchPlace,
  half: PitchPlace,
  amplitude: number,
  knowledge: Knowledge,
): SourceModel {
  const floorSize = FLOOR_SHARE * amplitude;
  const lamp = (p: Float64Array, side: 1 | -1): Source => {
    const stretch = side * Math.exp(p[2]!);
    const cos = Math.cos(p[3]!);
    const sin = Math.sin(p[3]!);
    return {
      across: p[0]! + stretch * (half.across * cos - half.up * sin),
      up: p[1]! + stretch * (half.across * sin + half.up * cos),
      amplitude: Math.exp(p[side === -1 ? 4 : 5]!),
      widthFactor: Math.exp(p[7]!),
    };
  };
  const ln = Math.log(amplitude);
  return {
    start: [start.across, start.up, 0, 0, ln, ln, 0, 0],
    scale: [0.1, 0.1, 0.05, 0.05, 0.1, 0.1, floorSize, 0.1],
    sources: (p) => [lamp(p, -1), lamp(p, 1)],
    floor: (p) => p[6]!,
    known: (p) => [
      (p[0]! - start.across) / knowledge.placePitches,
      (p[1]! - start.up) / knowledge.placePitches,
      p[2]! / knowledge.separation,
      p[3]! / TURN_RAD,
      (p[4]! - p[5]!) / BALANCE,
      ((p[4]! + p[5]!) / 2 - ln) / AMPLITUDE_LN,
      p[6]! / floorSize,
      p[7]! / knowledge.width,
    ],
  };
}
