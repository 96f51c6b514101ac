import { type CellResult, type Result, typicalAbsolute, typicalFNumber } from '@twolamp/session';
import { mean, medianAbsoluteDeviation } from 'simple-statistics';
import { percentPlusMinus, plusMinus, significant } from './quantity.js';
import type { Answer } from './sentence.js';

/** A normal distribution's standard deviation over its median absolute deviation: 1 / Φ⁻¹(3/4). */
const SD_PER_MAD = 1.4826;
/** With its meaning, where it first occurs. */
const ROBUST_SD = 'robust standard deviation: two tubes in three lie within it, outliers don’t count';
/** The lens the builder may know, for comparison. */
const FAMILIAR_F_NUMBER = 4;

export interface MeanTransmission {
  readonly mean: number;
  /**
   * Standard uncertainty of the mean; null where a tube's own isn't known. Errors of the bare shot and of the exposures are
   * shared by all tubes, so the mean over the tubes doesn't lessen it.
   */
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
    uncertainty: known.length === uncertainties.length ? mean(known) : null,
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

/** Scatter or uncertainty over the figure itself beyond which it is no headline; as in what is measured. */
const MOST_SCATTER = 0.5;
const NOT_MEASURED = 'How much light the array passes could not be measured.';

/** A mean that can be, and that its uncertainty leaves something of. */
const isTold = ({ mean: throughput, uncertainty }: MeanTransmission) =>
  throughput > 0 && throughput <= 1 && (uncertainty ?? 0) < MOST_SCATTER * throughput;

/** How much light the array passes. */
export function lightAnswer(result: Result): Answer {
  const absolute = meanAbsolute(result.cells);
  const spread = relativeSpread(result.cells);
  if (absolute !== null && !isTold(absolute)) {
    const { mean: throughput, uncertainty } = absolute;
    return {
      headline: NOT_MEASURED,
      details: [
        `By the bare shot it would be ${percentPlusMinus(throughput, uncertainty)} of the light: the exposures of the bare and the even shot don’t fit each other, or the bare shot shows something else.`,
      ],
    };
  }
  if (absolute === null && spread !== null && spread.spread > MOST_SCATTER) {
    return {
      headline: NOT_MEASURED,
      details: [
        `Healthy tubes differ by ${percentPlusMinus(spread.spread, spread.uncertainty)} among themselves: too much for one figure.`,
      ],
    };
  }
  const differ =
    spread === null
      ? []
      : [
          `Healthy tubes differ by ${percentPlusMinus(spread.spread, spread.uncertainty)} among themselves (${ROBUST_SD}).`,
        ];
  if (absolute === null) {
    return {
      headline:
        spread === null
          ? NOT_MEASURED
          : `Healthy tubes pass the same light to within ${percentPlusMinus(spread.spread, spread.uncertainty)}.`,
      details: [
        spread === null
          ? 'Too few tubes show light.'
          : `That is the scatter of ${spread.tubes} tubes (${ROBUST_SD}).`,
        'How much light that is can’t be said without a bare shot (the sheet alone) in the same light, with known exposures.',
      ],
    };
  }
  return {
    headline: `On average a tube passes ${percentPlusMinus(absolute.mean, absolute.uncertainty)} of the even light that falls on its bore.`,
    details: [fNumberSentence(result), `Mean of ${absolute.tubes} tubes, faulty ones included.`, ...differ],
  };
}

/** How bright a typical tube's spot is, as an f-number: the same that previews and weighings state. */
function fNumberSentence(result: Result): string {
  const typical = typicalFNumber(result);
  if (typical === null) {
    return typicalAbsolute(result) === null
      ? 'How bright a tube’s spot is can’t be said: no healthy tube was measured.'
      : 'A tube can’t pass more light than falls on it: the exposures of the bare and the even shot don’t fit each other.';
  }
  const exposures = significant((typical.value / FAMILIAR_F_NUMBER) ** 2, 2);
  return `A typical tube’s spot on the sheet is as bright as behind a lens at f/${plusMinus(typical.value, typical.uncertainty)}: it takes ${exposures} times the exposure of f/${FAMILIAR_F_NUMBER}.`;
}
