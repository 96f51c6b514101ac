import { EXPOSURE_EXPECTED, LENGTH_EXPECTED, parseExposureS, parseLengthMm } from '@twolamp/session';
import { InvalidArgumentError } from 'commander';

/** A length given as an option, mm. */
export function lengthOption(text: string): number {
  const mm = parseLengthMm(text);
  if (mm === null || mm <= 0) throw new InvalidArgumentError(`Expected ${LENGTH_EXPECTED}, above zero.`);
  return mm;
}

/** A time given as an option, s. */
export function exposureOption(text: string): number {
  const seconds = parseExposureS(text);
  if (seconds === null || seconds <= 0)
    throw new InvalidArgumentError(`Expected ${EXPOSURE_EXPECTED}, above zero.`);
  return seconds;
}

/** An f-number given as an option: 8 or f/8. */
export function fNumberOption(text: string): number {
  const value = Number(text.replace(/^f\//, ''));
  if (!(value > 0 && value < Number.POSITIVE_INFINITY)) {
    throw new InvalidArgumentError('Expected an f-number, for example f/8.');
  }
  return value;
}
