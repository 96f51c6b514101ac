import type { KnownExposure } from '@twolamp/optics';
import { type ArraySpec, InputError, lengthText } from '@twolamp/session';

/** What a builder wants planned. */
export interface PlanRequest {
  readonly array: ArraySpec;
  /** Between the two lamps at hand. */
  readonly spacingMm: number;
  /** Farthest place from the front face at which a lamp can stand. */
  readonly roomMm: number;
  readonly criterion: { readonly name: string; readonly requiredDip: number };
  /** An exposure of an evenly lit scene that the builder knows; the light budget is given against it. */
  readonly known?: KnownExposure;
}

/** Lamps stand no nearer than this many tube lengths: nearer, the two ends of a tube see them from different sides. */
const NEAREST_TUBE_LENGTHS = 3;

/** Where the nearest lamp may stand, mm from the front face. */
export function nearestMm(array: ArraySpec): number {
  return NEAREST_TUBE_LENGTHS * array.tubeLengthMm;
}

/**
 * Refuses a room that is too short.
 *
 * @param where - what the person gave, for the message
 * @throws InputError with the reason
 */
export function requirePlannable({ array, roomMm }: PlanRequest, where: string): void {
  if (roomMm <= nearestMm(array)) {
    throw new InputError(
      where,
      `the room is ${lengthText(roomMm)} long`,
      `more than ${lengthText(nearestMm(array))}, which is ${NEAREST_TUBE_LENGTHS} tube lengths: nearer lamps ` +
        'tell little of distant ones',
    );
  }
}
