import { FIELD_NAMES } from './array.js';
import { type ArrayDimensions, unusualProportions } from './array-relations.js';
import { inItsUnit, isUsual, type Quantity, usualInWords } from './plausible.js';
import type { Session, Shot } from './session-format.js';
import { unusualShot } from './shot-relations.js';

/** A stated value that is possible, but so seldom met that a slip is likelier: asked, not refused. */
export interface Unusual {
  /** Its place in the file or among the options, counted as a person counts. */
  readonly field: string;
  /** What is stated and what is usual, as a phrase. */
  readonly says: string;
}

function ask(field: string, quantity: Quantity, value: number | undefined): Unusual[] {
  if (value === undefined || isUsual(quantity, value)) return [];
  return [{ field, says: `${inItsUnit(quantity, value)} is stated; ${usualInWords(quantity)}` }];
}

/** What is unusual about an array's stated dimensions. */
export function unusualArray(array: ArrayDimensions, prefix = ''): Unusual[] {
  // A packed array has no rows and columns.
  const grid =
    array.rows === 0
      ? []
      : [...ask(`${prefix}rows`, 'tubes', array.rows), ...ask(`${prefix}columns`, 'tubes', array.columns)];
  const single = [
    ...grid,
    ...(array.kind === undefined ? ask(`${prefix}tube-length`, 'tubeLengthMm', array.tubeLengthMm) : []),
    ...ask(`${prefix}tube-bore`, 'tubeBoreMm', array.tubeBoreMm),
    ...ask(`${prefix}back-pitch`, 'pitchMm', array.backPitchMm),
    ...ask(`${prefix}front-pitch`, 'pitchMm', array.frontPitchMm),
  ];
  const together = unusualProportions(array).map(({ field, expected }) => ({
    field: `${prefix}${FIELD_NAMES[field]}`,
    says: expected,
  }));
  return [...single, ...together];
}

function ofShot(shot: Shot, array: ArrayDimensions, place: string): Unusual[] {
  const { exposureS, iso, aperture } = shot.stated;
  const camera = [
    ...ask(`${place}.exposure`, 'exposureS', exposureS),
    ...ask(`${place}.iso`, 'iso', iso),
    ...ask(`${place}.aperture`, 'aperture', aperture),
  ];
  if (shot.kind !== 'lamp' && shot.kind !== 'pair') return camera;
  return [
    ...camera,
    ...(shot.kind === 'pair' ? ask(`${place}.spacing`, 'lampSpacingMm', shot.spacingMm) : []),
    ...(shot.kind === 'pair' ? ask(`${place}.turned`, 'turnedDeg', shot.turnedDeg) : []),
    ...ask(`${place}.distance`, 'lampDistanceMm', shot.distanceMm),
    ...ask(`${place}.across`, 'lampOffsetMm', shot.acrossMm),
    ...ask(`${place}.up`, 'lampOffsetMm', shot.upMm),
    ...unusualShot(shot, array).map(({ field, expected }) => ({
      field: `${place}.${field}`,
      says: expected,
    })),
  ];
}

/**
 * What is possible in a session, but unusual: `check` and `measure` ask for it to be looked at again. That is a question about
 * what was typed, so results don't hold it; what the photos contradict becomes a finding by itself.
 */
export function unusualValues(session: Session): Unusual[] {
  return [
    ...unusualArray(session.array, 'array.'),
    ...ask('lamp-diameter', 'lampDiameterMm', session.lampDiameterMm ?? undefined),
    ...session.shots.flatMap((shot, index) => ofShot(shot, session.array, `shots[${index + 1}]`)),
  ];
}
