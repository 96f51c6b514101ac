import { type KnownExposure, type Random, scaledExposureS, tubeLayout } from '@twolamp/optics';
import {
  placedResult,
  type Result,
  typicalAbsolute,
  typicalFNumber,
  type Way,
  type Weighing,
  WEIGHING_FORMAT,
} from '@twolamp/session';
import { finishedGeometry, finishedResult } from './finished-array.js';
import {
  asPredicted,
  cellsAcross,
  fieldOf,
  rangeOf,
  resolvingMended,
  resolvingNow,
} from './measured-ways.js';
import { type Rebuild, rebuilt } from './rebuilt.js';

export interface WeighRequest {
  /** What is to be pictured: its width, and its distance from the front face. */
  readonly subject: { readonly widthMm: number; readonly distanceMm: number } | null;
  /** An exposure through a lens that the builder knows. */
  readonly known: KnownExposure | null;
  /** Null: as the result states, else {@link USUAL_MINUTES}. */
  readonly minutesPerTube: number | null;
  /** Null where rebuilding isn't asked about. */
  readonly rebuild: Rebuild | null;
}

/** A weighing, and the results that its pictures are drawn from. */
export interface Weighed {
  readonly weighing: Weighing;
  /** The array with a tube in every hole; null where it has one already. */
  readonly finished: Result | null;
}

/** Cutting, placing and gluing one tube by hand. Common practice, no source. */
const USUAL_MINUTES = 2;
const MINUTES_PER_HOUR = 60;

/**
 * What could be done with an array against what it brings: as it is, mended (the pull list replaced), finished (a tube in
 * every hole), both, and rebuilt with other dimensions or matte walls.
 *
 * @param random - makes a generator for each step that needs chance
 */
export function weighResult(measured: Result, request: WeighRequest, random: () => Random): Weighed {
  const result = placedResult(measured);
  const { array, pull, resolving } = result;
  const stated = request.minutesPerTube ?? array.minutesPerTube ?? null;
  const minutes = stated ?? USUAL_MINUTES;
  const missing = tubeLayout(finishedGeometry(array)).count - tubeLayout(array).count;
  const finished = missing > 0 ? finishedResult(result, random()) : null;
  const absolute = typicalAbsolute(result);
  const typical = absolute !== null && absolute.value < 1 ? absolute : null;

  const exposureAt = (fNumber: Way['effectiveFNumber']): Way['exposure'] => {
    if (fNumber === null || request.known === null) return null;
    const seconds = scaledExposureS(request.known, fNumber.value);
    const { uncertainty, value, basis } = fNumber;
    // Time goes with the f-number's square.
    return {
      seconds,
      uncertaintyS: uncertainty === null ? null : (2 * seconds * uncertainty) / value,
      basis,
    };
  };
  const fNumber = typicalFNumber(result);
  const fNumberNow: Way['effectiveFNumber'] = fNumber && { ...fNumber, basis: 'measured' };
  const wayOf = (
    way: string,
    of: Result,
    newTubes: number,
    resolvingM: Way['resolvingM'],
    basis: 'measured' | 'predicted',
    fNumber: Way['effectiveFNumber'] = fNumberNow,
  ): Way => {
    const size = sizeOf(of.array);
    const cells = cellsAcross(of, request.subject, size.columns);
    return {
      way,
      tubes: tubeLayout(of.array).count,
      newTubes,
      hours: (newTubes * minutes) / MINUTES_PER_HOUR,
      resolvingM,
      fieldDeg: basis === 'measured' ? fieldOf(of) : { ...fieldOf(of), basis },
      ...size,
      cellsAcrossSubject: cells && (basis === 'measured' ? cells : { ...cells, basis }),
      effectiveFNumber: fNumber && (basis === 'measured' ? fNumber : { ...fNumber, basis }),
      exposure: exposureAt(fNumber && (basis === 'measured' ? fNumber : { ...fNumber, basis })),
      preview: null,
    };
  };

  const ways = [wayOf('as it is', result, 0, resolvingNow(result), 'measured')];
  const mended = resolvingMended(result);
  if (pull.length > 0) ways.push(wayOf('mended', result, pull.length, mended, 'predicted'));
  if (finished) {
    ways.push(wayOf('finished', finished, missing, asPredicted(resolvingNow(result)), 'predicted'));
    if (pull.length > 0) {
      ways.push(wayOf('finished and mended', finished, missing + pull.length, mended, 'predicted'));
    }
  }
  if (request.rebuild) {
    const whole = finished ?? result;
    const other = rebuilt(result, request.rebuild, typical, random);
    // Directions measured of the present tubes say nothing of others'.
    const cells = whole.cells.map((cell) => ({ ...cell, pointing: null }));
    const count = tubeLayout(other.array).count;
    ways.push(
      wayOf(
        `rebuilt: ${rebuildWords(request.rebuild)}`,
        { ...whole, array: { ...whole.array, ...dimensionsOf(other.array) }, cells },
        Math.max(count, tubeLayout(whole.array).count),
        other.resolvingM,
        'predicted',
        other.effectiveFNumber,
      ),
    );
  }
  return {
    finished,
    weighing: {
      format: WEIGHING_FORMAT,
      array: array.name,
      minutesPerTube: { value: minutes, stated: stated !== null },
      spacingM: resolving?.spacingM ?? null,
      subject: request.subject && {
        widthM: request.subject.widthMm / 1000,
        distanceM: request.subject.distanceMm / 1000,
      },
      lens: request.known && { ...request.known },
      ways,
      ...(result.doubtful ? { doubtful: true } : {}),
    },
  };
}

function dimensionsOf({ tubeBoreMm, tubeLengthMm, backPitchMm, frontPitchMm }: Result['array']) {
  return { tubeBoreMm, tubeLengthMm, backPitchMm, frontPitchMm };
}

/** Rows and columns that tubes span; of packed ones how many would lie above and beside each other in good order. */
function sizeOf(array: Result['array']): { rows: number; columns: number } {
  if (array.arrangement === 'packed') {
    const { across, up } = tubeLayout(array);
    const span = (values: Float64Array, step: number) => {
      const { least, most } = rangeOf(values);
      return Math.round((most - least) / step) + 1;
    };
    return { rows: span(up, Math.sqrt(3) / 2), columns: span(across, 1) };
  }
  const { row, column } = tubeLayout(array);
  const span = (values: Int32Array) => {
    const { least, most } = rangeOf(Float64Array.from(values));
    return most - least + 1;
  };
  return { rows: span(row), columns: span(column) };
}

function rebuildWords(rebuild: Rebuild): string {
  const lengths = [
    ['bore', rebuild.boreMm],
    ['length', rebuild.lengthMm],
    ['back pitch', rebuild.backPitchMm],
    ['front pitch', rebuild.frontPitchMm],
  ] as const;
  return [
    ...lengths.flatMap(([name, mm]) => (mm === undefined ? [] : [`${name} ${mm} mm`])),
    ...(rebuild.matteWalls ? ['matte walls'] : []),
  ].join(', ');
}
