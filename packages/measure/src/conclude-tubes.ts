import type { LitShot } from '@twolamp/flux';
import { tubeOf } from '@twolamp/optics';
import type { LampShot, Session } from '@twolamp/session';
import { median } from '@twolamp/numeric';
import { type LampSize, lampSizeOf } from '@twolamp/resolving';
import type { BegunConclusions } from './begin-conclusions.js';
import { type CrosstalkSurvey, measureCrosstalk } from './crosstalk/measure-crosstalk.js';
import { tracedBowFits } from './faults/bow-fit.js';
import { mirrorBows, tracedBows } from './faults/bows.js';
import { type FaultEvidence, type FaultSurvey, findFaults } from './faults/find-faults.js';
import { measurePointing, type PointingSurvey } from './pointing/measure-pointing.js';
import { sweepLeaks } from './pointing/sweep-leaks.js';
import { randomFor } from './random-streams.js';
import { lampPlaces, ofKind } from './survey-light.js';
import type { AbsoluteTransmission } from './transmission/absolute.js';
import { estimateWall, type WallEstimate } from './wall/estimate-wall.js';

/** What was found of the tubes one by one, and of their walls. */
export interface ConcludedTubes {
  /** One a place of the lamp. */
  readonly lamps: readonly LitShot<LampShot>[];
  readonly crosstalk: CrosstalkSurvey;
  readonly pointing: PointingSurvey;
  readonly wall: WallEstimate | null;
  readonly evidence: FaultEvidence;
  readonly faults: FaultSurvey;
}

/** The walls' gloss from acceptance width and absolute transmission; null where neither is known. */
function wallOf(
  session: Session,
  pointing: PointingSurvey,
  lamp: LampSize,
  absolute: AbsoluteTransmission | null,
  relative: Float64Array,
): WallEstimate | null {
  const widths = pointing.tubes.map((one) => one?.acceptanceWidthUncertaintyDeg ?? Number.NaN);
  const typical = absolute?.absolute.map((value, k) => value / relative[k]);
  return estimateWall(
    session.array,
    {
      acceptance:
        pointing.sweep === null || pointing.typicalWidthDeg === null
          ? null
          : {
              widthDeg: pointing.typicalWidthDeg,
              uncertaintyDeg: median(widths),
              lamp: { ...lamp, distanceMm: pointing.sweep.distanceMm },
            },
      transmission:
        absolute && typical ? { absolute: median(typical), uncertainty: median(absolute.sigma) } : null,
    },
    randomFor('wall'),
  );
}

/** Crosstalk, direction, walls and faults of the tubes. */
export function concludeTubes(begun: BegunConclusions): ConcludedTubes {
  const { session, survey, transmission, absolute, trusted } = begun;
  const { array } = session;
  const crosstalk = measureCrosstalk(array, survey.cells, ofKind(survey.lit, 'single'));
  const exposed = survey.comparable ? trusted.filter(({ shot }) => !survey.unexposed.has(shot.photo)) : [];
  const lamps = lampPlaces(ofKind(exposed, 'lamp'));
  const lamp = lampSizeOf(session);
  const pointing = measurePointing(
    array,
    lamps,
    lamp.diameterMm,
    transmission.relative,
    transmission.sigma,
    survey.backDepartures,
  );
  // What a lens throws on short cells tells nothing of their walls.
  const wall =
    array.kind === 'cell-screen' ? null : wallOf(session, pointing, lamp, absolute, transmission.relative);
  const evidence: FaultEvidence = {
    array,
    relative: transmission.relative,
    relativeSigma: transmission.sigma,
    pointing,
    leaks: crosstalk.leaks,
    sweepLeaks: sweepLeaks(array, pointing),
    bows: wall ? tracedBows(tubeOf(array), wall.wall, randomFor('bowSizes')) : mirrorBows(tubeOf(array)),
    bowFit: wall ? tracedBowFits(tubeOf(array), wall.wall, pointing, randomFor('bowFits')) : () => null,
  };
  return { lamps, crosstalk, pointing, wall, evidence, faults: findFaults(evidence) };
}
