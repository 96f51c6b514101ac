import type { ArraySpec, LampShot, PairShot } from '@twolamp/session';

/** Where a lamp or a pair is stated to stand; lengths in mm. */
export interface StatedPlace {
  readonly kind: 'lamp' | 'pair';
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
  /** Pairs only; 0 and 0 for one lamp. */
  readonly spacingMm: number;
  readonly turnedDeg: number;
  /** Logarithm of the exposure over the stated one. */
  readonly exposureLn: number;
}

/** What of a session its lamp and pair photos can contradict. */
export interface Statement {
  readonly array: Pick<ArraySpec, 'frontPitchMm' | 'backPitchMm' | 'tubeLengthMm'>;
  /** One a lamp or pair shot, in the session's order; null where no place is left for it. */
  readonly places: readonly (StatedPlace | null)[];
}

export function placeOf(shot: LampShot | PairShot): StatedPlace {
  const { kind, acrossMm, upMm, distanceMm } = shot;
  return shot.kind === 'pair'
    ? {
        kind,
        acrossMm,
        upMm,
        distanceMm,
        spacingMm: shot.spacingMm,
        turnedDeg: shot.turnedDeg,
        exposureLn: 0,
      }
    : { kind, acrossMm, upMm, distanceMm, spacingMm: 0, turnedDeg: 0, exposureLn: 0 };
}

/** The statement with each place of some kinds changed. */
export function withPlaces(
  statement: Statement,
  change: (place: StatedPlace, index: number) => StatedPlace | null,
): Statement {
  return {
    ...statement,
    places: statement.places.map((place, index) => place && change(place, index)),
  };
}

export function withArray(statement: Statement, change: Partial<Statement['array']>): Statement {
  return { ...statement, array: { ...statement.array, ...change } };
}
