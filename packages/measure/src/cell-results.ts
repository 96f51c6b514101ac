import { backPlace, placeLayout, tubeBack, tubeLayout } from '@twolamp/optics';
import { type ArraySpec, type CellResult, cellPlace } from '@twolamp/session';
import type { Survey } from '@twolamp/cells';
import type { CellLight } from '@twolamp/flux';
import type { CrosstalkSurvey } from './crosstalk/measure-crosstalk.js';
import { directionUncertaintyDeg } from './packing/direction-uncertainty.js';
import type { FaultSurvey } from './faults/find-faults.js';
import type { PointingSurvey, TubePointing } from './pointing/measure-pointing.js';
import type { AbsoluteTransmission } from './transmission/absolute.js';
import type { RelativeTransmission } from './transmission/relative.js';
import type { WallEstimate } from './wall/estimate-wall.js';

/** Everything measured of the cells, N each in reading order. */
export interface CellFindings {
  readonly array: ArraySpec;
  readonly survey: Survey;
  readonly even: CellLight;
  readonly transmission: RelativeTransmission;
  readonly absolute: AbsoluteTransmission | null;
  readonly pointing: PointingSurvey;
  readonly wall: WallEstimate | null;
  readonly crosstalk: CrosstalkSurvey;
  readonly faults: FaultSurvey;
}

/** A cell counts as seen if its light exceeds this many standard uncertainties. */
const SEEN_SIGMAS = 5;

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/**
 * The acceptance width is given for a parallel beam; a near lamp's is wider.
 *
 * @param inCommonDeg - uncertainty that all tubes' directions have in common
 */
function pointingResult(
  look: TubePointing | null,
  wall: WallEstimate | null,
  inCommonDeg: number,
): CellResult['pointing'] {
  if (look === null) return null;
  const parallelShare = wall?.parallelShare ?? 1;
  const uncertaintyDeg = Math.hypot(
    look.acceptanceWidthUncertaintyDeg,
    look.acceptanceWidthDeg * (wall?.lampShare ?? 0),
  );
  return {
    acrossDeg: look.acrossDeg,
    upDeg: look.upDeg,
    uncertaintyDeg: Math.hypot(look.uncertaintyDeg, inCommonDeg),
    errorDeg: look.error?.totalDeg ?? null,
    errorUncertaintyDeg: look.error?.uncertaintyDeg ?? null,
    acceptanceWidthDeg: look.acceptanceWidthDeg * parallelShare,
    acceptanceWidthUncertaintyDeg: uncertaintyDeg * parallelShare,
  };
}

function atMm(array: ArraySpec, tube: number): CellResult['atMm'] {
  const { acrossMm, upMm } = tubeBack(array, tube);
  return { across: acrossMm, up: upMm };
}

/** The cells of result.json, reading order. */
export function cellResults(found: CellFindings): CellResult[] {
  const { array, survey, even, transmission, absolute, pointing, wall, crosstalk, faults } = found;
  const { factor, middles } = survey;
  const ofPhoto = (reduced: number): number => reduced * factor + (factor - 1) / 2;
  const crosstalkByCell = new Map(crosstalk.tubes.map((tube) => [tube.cell, tube]));
  const lampMm = pointing.sweep?.distanceMm ?? Number.POSITIVE_INFINITY;
  const inCommonDeg = (tube: number) => directionUncertaintyDeg(array, tube, lampMm);
  const tubes = Array.from({ length: tubeLayout(array).count }, (_, k): CellResult => {
    const own = crosstalkByCell.get(k);
    const { fault, reason, bend, cureShiftMm } = faults.tubes[k];
    return {
      ...cellPlace(array, k),
      atMm: atMm(array, k),
      state: 'filled',
      xPx: ofPhoto(middles.x[k]),
      yPx: ofPhoto(middles.y[k]),
      seen: even.flux[k] > SEEN_SIGMAS * even.sigma[k],
      transmission: {
        relative: finite(transmission.relative[k]),
        relativeUncertainty: finite(transmission.sigma[k]),
        absolute: absolute && finite(absolute.absolute[k]),
        absoluteUncertainty: absolute && finite(absolute.sigma[k]),
      },
      pointing: pointingResult(pointing.tubes[k], wall, inCommonDeg(k)),
      bend,
      cureShiftMm,
      crosstalk: own
        ? {
            total: own.total,
            totalUncertainty: own.sigma,
            worst: own.worst && {
              ...cellPlace(array, own.worst.cell),
              share: own.worst.share,
              shareUncertainty: own.worst.sigma,
            },
          }
        : null,
      fault,
      reasons: reason === null ? [] : [reason],
    };
  });
  const unfilled = survey.unfilled.map((hole) =>
    unfilledResult(array, hole, ofPhoto(hole.x), ofPhoto(hole.y)),
  );
  return [...tubes, ...unfilled].sort((a, b) => a.cell - b.cell);
}

/** A hole without a tube: a place, and nothing measured. */
function unfilledResult(
  array: ArraySpec,
  { row, column }: { readonly row: number; readonly column: number },
  xPx: number,
  yPx: number,
): CellResult {
  const { acrossMm, upMm } = backPlace(array, row, column);
  return {
    cell: placeLayout(array).at(row, column) + 1,
    row,
    column,
    atMm: { across: acrossMm, up: upMm },
    state: 'unfilled',
    xPx,
    yPx,
    seen: false,
    transmission: { relative: null, relativeUncertainty: null, absolute: null, absoluteUncertainty: null },
    pointing: null,
    bend: null,
    cureShiftMm: null,
    crosstalk: null,
    fault: 'none',
    reasons: [],
  };
}
