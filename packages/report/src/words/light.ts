import type { CellResult, Result } from '@twolamp/session';
import { mean, median, medianAbsoluteDeviation } from 'simple-statistics';
import { percentPlusMinus, significant, withUnit } from './quantity.js';
import type { Answer } from './sentence.js';

/** A normal distribution's standard deviation over its median absolute deviation: 1 / Φ⁻¹(3/4). */
const SD_PER_MAD = 1.4826;
/** The lens the builder may know, for comparison. */
const FAMILIAR_F_NUMBER = 4;

export interface MeanTransmission {
  readonly mean: number;
  /** Standard uncertainty of the mean; null where a tube's own isn't known. */
  readonly uncertainty: number | null;
  readonly tubes: number;
}

/** Mean absolute transmission over all places whose light was measured, the faulty ones included; null for none. */
export function meanAbsolute(cells: readonly CellResult[]): MeanTransmission | null {
  const measured = cells.filter((cell) => cell.transmission.absolute !== null);
  if (measured.length === 0) return null;
  const uncertainties = measured.map((cell) => cell.transmission.absoluteUncertainty);
  const known = uncertainties.filter((u) => u !== null);
  return {
    mean: mean(measured.map((cell) => cell.transmission.absolute!)),
    uncertainty: known.length === uncertainties.length ? Math.hypot(...known) / known.length : null,
    tubes: measured.length,
  };
}

export interface RelativeSpread {
  /** Robust standard deviation of the healthy tubes' relative transmission. */
  readonly spread: number;
  /** Standard uncertainty of that, 1.17 σ/√n: the median absolute deviation is 37 % efficient for a normal distribution. */
  readonly uncertainty: number;
  readonly tubes: number;
}

/** How much healthy tubes differ among themselves; null for fewer than three. */
export function relativeSpread(cells: readonly CellResult[]): RelativeSpread | null {
  const values = cells.flatMap((cell) => (cell.fault === 'none' ? (cell.transmission.relative ?? []) : []));
  if (values.length < 3) return null;
  const spread = SD_PER_MAD * medianAbsoluteDeviation(values);
  return { spread, uncertainty: (1.167 * spread) / Math.sqrt(values.length), tubes: values.length };
}

/**
 * f-number of the lens that gives as much light on the sheet: N = 1/(2√T), T the absolute transmission.
 * Source: sheet illuminance E = π·radiance·T behind the array, E = π·radiance/(4N²) behind a lens.
 */
export function effectiveFNumber(absoluteTransmission: number): number {
  return 1 / (2 * Math.sqrt(absoluteTransmission));
}

/** How much light the array passes. */
export function lightAnswer(result: Result): Answer {
  const absolute = meanAbsolute(result.cells);
  const spread = relativeSpread(result.cells);
  const differ =
    spread === null
      ? []
      : [
          `Healthy tubes differ by ${percentPlusMinus(spread.spread, spread.uncertainty)} among themselves (standard deviation of ${spread.tubes}, robust; median ${significant(typicalRelative(result.cells), 3)} of what the tubes around give).`,
        ];
  if (absolute === null || !(absolute.mean > 0)) {
    return {
      headline:
        spread === null
          ? 'How much light the array passes could not be measured.'
          : `Healthy tubes pass the same light to within ${percentPlusMinus(spread.spread, spread.uncertainty)}.`,
      details: [
        spread === null
          ? 'Too few tubes show light.'
          : `That is the standard deviation among ${spread.tubes} tubes, robust against outliers.`,
        'How much light that is, against the bare sheet, can’t be said: it takes a bare shot in the same light, with exposures known.',
      ],
    };
  }
  const fNumber = effectiveFNumber(absolute.mean);
  const slower = (fNumber / FAMILIAR_F_NUMBER) ** 2;
  return {
    headline: `A tube passes ${percentPlusMinus(absolute.mean, absolute.uncertainty)} of the light that falls on its bore, on average.`,
    details: [
      `${fNumberWords(fNumber, absolute)}: ${significant(slower, 2)} times ${slower > 1 ? 'the exposure' : 'as long as the exposure'} of a lens at f/${FAMILIAR_F_NUMBER}.`,
      `Mean of ${absolute.tubes} tubes, faulty ones included.`,
      ...differ,
    ],
  };
}

function typicalRelative(cells: readonly CellResult[]): number {
  return median(cells.flatMap((cell) => cell.transmission.relative ?? []));
}

function fNumberWords(fNumber: number, { mean: value, uncertainty }: MeanTransmission): string {
  const relative = uncertainty === null ? null : uncertainty / value / 2;
  const number = significant(fNumber, relative !== null && relative < 0.01 ? 3 : 2);
  const plus = relative === null ? '' : `${withUnit(' ±', significant(fNumber * relative, 1))}`;
  return `On the sheet that is as bright as behind a lens at f/${number}${plus}`;
}
