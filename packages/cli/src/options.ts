import {
  EXPOSURE_EXPECTED,
  isPossible,
  LENGTH_EXPECTED,
  parseExposureS,
  parseLengthMm,
  possibleInWords,
  type Quantity,
  withoutComma,
} from '@twolamp/session';
import { InvalidArgumentError } from 'commander';

/** Reads an option's text as a quantity of the table of plausible ranges. */
function quantityOption(quantity: Quantity, parse: (text: string) => number | null, expected: string) {
  return (text: string): number => {
    const value = parse(text);
    if (value === null) throw new InvalidArgumentError(`Expected ${withoutComma(text, expected)}.`);
    if (!isPossible(quantity, value)) {
      throw new InvalidArgumentError(`Expected ${possibleInWords(quantity)}.`);
    }
    return value;
  };
}

/** A length of a kind given as an option, mm. */
export const lengthOption = (quantity: Quantity) => quantityOption(quantity, parseLengthMm, LENGTH_EXPECTED);

/** A time given as an option, s. */
export const exposureOption = quantityOption('exposureS', parseExposureS, EXPOSURE_EXPECTED);

/** A long time given as an option, s: as an exposure is written, or in minutes or hours. */
export const longTimeOption = quantityOption(
  'exposureS',
  (text) => {
    const [, number, unit] = /^(\d+(?:\.\d+)?)\s*(min|h)$/.exec(text.trim()) ?? [];
    return unit === undefined ? parseExposureS(text) : Number(number) * (unit === 'h' ? 3600 : 60);
  },
  'a time, for example "3 min", "180 s" or "1/8 s"',
);

/** An f-number given as an option: 8 or f/8. */
export const fNumberOption = quantityOption(
  'aperture',
  (text) => {
    const [, number] = /^(?:f\/)?(\d+(?:\.\d+)?)$/.exec(text.trim()) ?? [];
    return number === undefined ? null : Number(number);
  },
  'an f-number, for example f/8',
);
