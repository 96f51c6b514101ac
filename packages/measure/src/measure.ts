import {
  type KeptSurvey,
  type LitShot,
  type MeasureElsewhere,
  type Progress,
  type Survey,
  surveyShots,
} from '@twolamp/cells';
import { mapAt, NAMED_WALLS, resolveWall, tubeOf } from '@twolamp/optics';
import {
  type ArraySpec,
  EVIDENCE_FORMAT,
  type EvenShot,
  type Evidence,
  type Finding,
  finding,
  isDoubt,
  RESULT_FORMAT,
  type Resolving,
  type Result,
  type Session,
  type Shot,
  type ShotPhoto,
} from '@twolamp/session';
import { mean } from 'simple-statistics';
import { cellResults } from './cell-results.js';
import { type Consistency, checkConsistency } from './consistency/check-consistency.js';
import { type DoubtedParts, flagged, withLeftOut } from './consistency/flag-doubtful.js';
import { measureCrosstalk } from './crosstalk/measure-crosstalk.js';
import { sweepLeaks } from './pointing/sweep-leaks.js';
import { tracedBowFits } from './faults/bow-fit.js';
import { mirrorBows, tracedBows } from './faults/bows.js';
import { type FaultEvidence, findFaults } from './faults/find-faults.js';
import type { LampPair } from './faults/mean-dip.js';
import { pullList } from './faults/pull-list.js';
import { pullEntries, pullFindings, repairs } from './faults/pull-findings.js';
import { type LampSize, lampSizeOf } from './lamp-size.js';
import { type MeasuredResolving, measurePairs } from './pairs/measure-pairs.js';
import { ANY_DIP } from './pairs/resolving.js';
import { measurePointing, type PointingSurvey } from './pointing/measure-pointing.js';
import { median } from '@twolamp/numeric';
import { uprightPlaces } from './packing/upright-places.js';
import { packingOrder } from './packing/packing-order.js';
import { packingEvidence, packingFindings } from './packing/packing-told.js';
import { randomFor } from './random-streams.js';
import { repeatFindings } from './repeats.js';
import { type BareSheet, evenLight, lampPlaces, lampRepeats, ofKind } from './survey-light.js';
import { sweepEvidence } from './sweep-evidence.js';
import { type AbsoluteTransmission, absoluteTransmission } from './transmission/absolute.js';
import { implausibleLight } from './transmission/implausible.js';
import { MOST_SCATTER } from './transmission/tuning.js';
import { estimateWall, type WallEstimate } from './wall/estimate-wall.js';
import { predictResolving } from './wall/predict-resolving.js';

export interface MeasureOptions {
  readonly onProgress?: Progress;
  /** Which program and files the result comes from, worked out where the files are read. */
  readonly made?: Result['made'];
  /** Measures further shots on other threads; as for `surveyShots`. */
  readonly elsewhere?: MeasureElsewhere | undefined;
  /** What an earlier run measured; as for `surveyShots`. */
  readonly kept?: KeptSurvey;
}

/** The figures, and the evidence that the page draws; its picture is null, since no file is read here. */
export interface Measurement {
  readonly result: Result;
  readonly evidence: Evidence;
}

const MM_PER_M = 1000;
/** Range in which a resolving distance is predicted. */
const PREDICTED_RANGE = { nearestMm: 50, farthestMm: 100_000 };

/** Lamps at stated places, or tubes lit alone, that show which way up the photos are. */
const LEAST_TELLING = { lamp: 3, single: 1 } as const;

function tellsWayUp(lit: readonly LitShot<Shot>[]): boolean {
  return (['lamp', 'single'] as const).some((kind) => ofKind(lit, kind).length >= LEAST_TELLING[kind]);
}

/** Light where the map has no tube. */
function besideMap({ array, shots }: Session, { litUnstated }: Survey): Finding[] {
  const even = shots.find((shot) => shot.kind === 'even');
  if (even === undefined || litUnstated.length === 0) return [];
  const places = litUnstated.map(({ row, column }) => ({ row, column }));
  const unfilled = places.filter(({ row, column }) => mapAt(array, row, column) === 'o').length;
  return [finding('light-beside-map', even.photo, { places, unfilled })];
}

const meanOfKnown = (values: Float64Array): number => mean(Array.from(values).filter(Number.isFinite));

function absoluteOf(
  survey: Survey,
  bare: BareSheet | null,
  even: LitShot<EvenShot>,
  session: Session,
  findings: Finding[],
): AbsoluteTransmission | null {
  const about = 'transmission.absolute';
  if (bare === null) {
    // A clipped one has its finding already.
    if (!session.shots.some((shot) => shot.kind === 'bare')) findings.push(finding('no-bare', about, {}));
    return null;
  }
  if (!survey.comparable || survey.unexposed.has(even.shot.photo)) {
    findings.push(finding('exposures-unknown', about, {}));
    return null;
  }
  const found = absoluteTransmission(even.light, bare, survey.cells, session.array, survey.wingShare);
  // The page's headline is a mean; the median says what most tubes pass.
  const typicals = [meanOfKnown, median].map((of) => ({
    typical: of(found.absolute),
    uncertainty: of(found.sigma),
  }));
  const misfit = typicals.find(
    ({ typical, uncertainty }) => !(typical > 0 && typical <= 1 && uncertainty < MOST_SCATTER * typical),
  );
  if (misfit === undefined) return found;
  const photo = session.shots.find(({ kind }) => kind === 'bare')?.photo;
  findings.push(finding('bare-misfit', about, { photo, ...misfit }));
  return null;
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

/** Predicts the resolving distance; its uncertainty is half its difference between both ends of the gloss's. */
function predicted(session: Session, resolving: MeasuredResolving, wall: WallEstimate | null): Resolving {
  const { tubeWall } = session.array;
  const theory = wall?.wall ?? (tubeWall ? resolveWall(tubeWall) : NAMED_WALLS['matte black']);
  const predict = (gloss: number): number | null => {
    const found = predictResolving(
      session.array,
      { ...theory, gloss },
      {
        spacingMm: resolving.spacingM * MM_PER_M,
        requiredDip: Math.max(resolving.requiredDip, ANY_DIP),
        ...PREDICTED_RANGE,
      },
      randomFor('prediction'),
    );
    return found.bound === 'within' ? found.distanceMm / MM_PER_M : null;
  };
  const predictedDistanceM = predict(theory.gloss);
  const ends = [-1, 1].map((side) =>
    wall === null || predictedDistanceM === null
      ? null
      : predict(Math.min(1, Math.max(0, theory.gloss + side * wall.glossUncertainty))),
  );
  return {
    ...resolving,
    predictedDistanceM,
    predictedDistanceUncertaintyM:
      ends[0] === null || ends[1] === null ? null : Math.abs(ends[1] - ends[0]) / 2,
  };
}

function pairAt({ spacingM, distanceM }: MeasuredResolving): LampPair {
  return { spacingMm: spacingM * MM_PER_M, distanceMm: distanceM * MM_PER_M };
}

function wallResult(wall: WallEstimate | null): Result['wall'] {
  if (wall === null) return null;
  const { gloss, index, extinction = 0 } = wall.wall;
  return { gloss, uncertainty: wall.glossUncertainty, index, extinction };
}

/**
 * Measures a session: photos in, figures out.
 *
 * Photos are loaded one at a time and not kept. Pure except for `load` and `elsewhere`: no file or clock is used, and random numbers come
 * from generators with fixed seeds.
 *
 * @param session - from readSession
 * @param load - gives a shot's photo as linear light
 * @throws InputError where the photos can't be measured, with the photo's name and what to mend
 */
export async function measureSession(
  session: Session,
  load: (shot: Shot) => Promise<ShotPhoto>,
  options: MeasureOptions = {},
): Promise<Measurement> {
  const { elsewhere, kept, onProgress = () => {} } = options;
  const survey = await surveyShots(session, load, onProgress, elsewhere, kept);
  return measureSurvey(session, survey, options.made ?? null);
}

/** Packed tubes are where they were found; with their places in the array nothing later asks whether it has rows. */
function withPlaces(session: Session, { places, lit }: Survey): { session: Session; turnedDeg: number } {
  if (!places) return { session, turnedDeg: 0 };
  const upright = uprightPlaces(places, ofKind(lit, 'lamp'));
  const array: ArraySpec = { ...session.array, places: upright.places };
  return { session: { ...session, array }, turnedDeg: upright.turnedDeg };
}

/**
 * Whether what the session states of its array and lamps fits what its photos show; quick, for `check`.
 *
 * @param stated - from readSession
 * @param survey - of the session's photos, from surveyShots
 */
export function checkSurvey(stated: Session, survey: Survey): Consistency {
  const { session } = withPlaces(stated, survey);
  return checkConsistency(session, survey, evenLight(survey).transmission.relative);
}

/**
 * Draws the conclusions from the light of the cells in each shot. No picture is touched.
 *
 * @param stated - from readSession
 * @param survey - of the session's photos, from surveyShots
 * @param made - which program and files they come from; null = not known
 */
export function measureSurvey(stated: Session, survey: Survey, made: Result['made'] = null): Measurement {
  const { session, turnedDeg } = withPlaces(stated, survey);
  const { array } = session;
  const { even, bare, sheetScatter, transmission } = evenLight(survey);
  const consistency = checkConsistency(session, survey, transmission.relative);
  const repeats = [ofKind(survey.lit, 'even'), ...lampRepeats(ofKind(survey.lit, 'lamp'))];
  const findings: Finding[] = [
    ...consistency.findings,
    ...survey.findings,
    ...repeatFindings(array, repeats),
    ...besideMap(session, survey),
  ];
  if (sheetScatter > 0) {
    findings.push(finding('sheet-non-uniform', 'transmission.relative', { scatter: sheetScatter }));
  }
  const absolute = absoluteOf(survey, bare, even, session, findings);

  const crosstalk = measureCrosstalk(array, survey.cells, ofKind(survey.lit, 'single'));
  const trusted = survey.lit.filter(({ shot }) => !consistency.leftOut.has(shot.photo));
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
  const isScreen = array.kind === 'cell-screen';
  // What a lens throws on short cells tells nothing of their walls.
  const wall = isScreen ? null : wallOf(session, pointing, lamp, absolute, transmission.relative);
  const pairs = measurePairs({
    array,
    lamps: ofKind(trusted, 'lamp'),
    pairs: ofKind(trusted, 'pair'),
    relative: transmission.relative,
    criterion: session.criterion,
    lampDiameterMm: lamp.diameterMm,
    random: randomFor('resolving'),
  });
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
  const faults = findFaults(evidence);
  findings.push(
    ...implausibleLight(
      array,
      transmission.relative,
      transmission.sigma,
      faults.tubes.map(({ fault }) => fault),
    ),
  );
  // What replacing tubes brings in dip and distance rests on the stated places of lamps and pairs.
  const pair = pairs.resolving && !consistency.doubtful.pairs ? pairAt(pairs.resolving) : null;
  const pull = pullList(evidence, faults, pair);
  const packing = array.arrangement === 'packed' ? packingOrder(array) : null;
  if (packing) findings.push(...packingFindings(packing, session, survey, turnedDeg));
  const unknown = lamps.length === 0 && ofKind(trusted, 'lamp').length > 0;
  const { unclear } = consistency;
  if (unclear.length > 0) findings.push(finding('lamp-images-unclear', 'pointing', { photos: [...unclear] }));
  if (!tellsWayUp(trusted)) findings.push(finding('could-be-turned', 'cells', {}));
  findings.push(
    ...crosstalk.findings,
    ...(isScreen
      ? [finding('cell-screen', 'array', {})]
      : [
          ...(unknown ? [finding('exposures-unknown', 'pointing', {})] : pointing.findings),
          ...(wall?.findings ?? [finding('wall-unknown', 'wall', {})]),
          ...pairs.findings,
        ]),
    ...faults.findings,
    ...pullFindings(pull, pair),
  );
  const resolving = pairs.resolving && predicted(session, pairs.resolving, wall);
  if (resolving?.predictedDistanceM === null) findings.push(finding('no-prediction', 'resolving', {}));

  const { tubeWall: _, ...arrayResult } = stated.array;
  const doubted: DoubtedParts = {
    cells: cellResults({
      array,
      survey,
      even: even.light,
      transmission,
      absolute,
      pointing,
      wall,
      crosstalk,
      faults,
    }),
    pairs: withLeftOut(pairs.pairs, ofKind(survey.lit, 'pair')),
    resolving,
    wall: wallResult(wall),
  };
  return {
    result: {
      format: RESULT_FORMAT,
      made,
      array: arrayResult,
      ...flagged(doubted, consistency),
      crosstalk: crosstalk.summary,
      pull: pullEntries(pull),
      repairs: repairs(pull, pairs.resolving, pairs.dipCurve),
      findings,
      ...(findings.some(isDoubt) ? { doubtful: true } : {}),
      photos: [...survey.photos],
    },
    evidence: {
      format: EVIDENCE_FORMAT,
      picture: null,
      pitchPx: survey.cells.pitchPx * survey.factor,
      dipCurve: pairs.dipCurve,
      plainDips: pairs.plainDips.map(({ distanceM, dip, uncertainty }) => ({ distanceM, dip, uncertainty })),
      profiles: [...pairs.profiles],
      sweep: sweepEvidence(lamps, transmission.relative),
      ...(packing ? { packing: packingEvidence(packing) } : {}),
    },
  };
}
