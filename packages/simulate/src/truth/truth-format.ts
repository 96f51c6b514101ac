import type { Wall } from '@twolamp/optics';
import type { ArraySpec, Fault, ShotKind } from '@twolamp/session';

export const TRUTH_FORMAT = 'twolamp-truth/1';

/** A share of one tube's light that leaves by another. */
export interface TrueLeak {
  readonly row: number;
  readonly column: number;
  readonly share: number;
}

/** What is true of one cell; row 0 and the tube's number from the top as column where packed. */
export interface TrueCell {
  readonly row: number;
  readonly column: number;
  /** Middle of the tube's end in the first even photo; middle of the top-left pixel = (0, 0), upright. */
  readonly xPx: number;
  readonly yPx: number;
  /** Light out in even light, crosstalk included, against a clean tube at the same place. */
  readonly relativeTransmission: number;
  /** Light out in even light over the bore's area, crosstalk included, over the illuminance of the bare sheet there. */
  readonly absoluteTransmission: number;
  /** Centre of gravity of the acceptance: arctangents of its slopes. */
  readonly pointing: { readonly acrossDeg: number; readonly upDeg: number };
  /** Angle between pointing and that of a straight, well-aimed tube at the same place. */
  readonly pointingErrorDeg: number;
  /** Full width at half maximum of the acceptance of parallel light. */
  readonly acceptanceWidthDeg: number;
  readonly fault: Fault;
  /** Null unless bent; direction in which the middle stands out, 0 = right, 90 = up. */
  readonly bow: { readonly mm: number; readonly directionDeg: number } | null;
  /** What to move the front end by, its jitter included, to have it look as planned; null unless misaimed. */
  readonly cureShiftMm: { readonly across: number; readonly up: number } | null;
  readonly crosstalk: {
    readonly total: number;
    readonly worst: TrueLeak | null;
    readonly to: readonly TrueLeak[];
  };
}

/** What is true of one pair shot, for an array without fault and noise whose tubes look astray as the healthy ones do. */
export interface TruePair {
  readonly photo: string;
  readonly distanceM: number;
  readonly spacingM: number;
  readonly turnedDeg: number;
  readonly separationCells: number;
  /** Of the continuous response along the lamps' line. */
  readonly dip: number;
}

export interface TrueResolving {
  readonly criterion: string;
  readonly requiredDip: number;
  readonly spacingM: number;
  /** Null where the criterion isn't crossed between half the nearest and ten times the farthest distance shot. */
  readonly distanceM: number | null;
}

export interface TruePhoto {
  readonly photo: string;
  readonly kind: ShotKind | 'scene';
  readonly exposureS: number;
  readonly iso: number;
  /** By how much the picture has moved against the first even photo. */
  readonly driftPx: readonly [number, number];
}

/** truth.json: what a simulated session is made of. For tests; the measurement must never see it. */
export interface Truth {
  readonly format: typeof TRUTH_FORMAT;
  readonly seed: number;
  readonly array: ArraySpec;
  readonly wall: Required<Wall>;
  readonly cells: readonly TrueCell[];
  readonly pairs: readonly TruePair[];
  readonly resolving: readonly TrueResolving[];
  readonly crosstalk: {
    readonly meanTotal: number;
    /** Share by offset, rows downwards, the lit tube in the middle; null for hexagonal arrays, whose rows alternate, and packed ones. */
    readonly kernel: readonly (readonly number[])[] | null;
  };
  readonly photos: readonly TruePhoto[];
}
