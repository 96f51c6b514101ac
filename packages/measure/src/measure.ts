import {
  type KeptSurvey,
  type MeasureElsewhere,
  type Progress,
  type Survey,
  surveyShots,
} from '@twolamp/cells';
import type { LitShot } from '@twolamp/flux';
import {
  EVIDENCE_FORMAT,
  type Evidence,
  type Finding,
  finding,
  isDoubt,
  RESULT_FORMAT,
  type Result,
  type Session,
  type Shot,
  type ShotPhoto,
} from '@twolamp/session';
import { type DoubtedParts, flagged, withLeftOut } from '@twolamp/consistency';
import { lampSizeOf, type MeasuredResolving, type PairsInput, type PairsMeasured } from '@twolamp/resolving';
import { beginConclusions, type BegunConclusions } from './begin-conclusions.js';
import { cellResults } from './cell-results.js';
import { concludeTubes, type ConcludedTubes } from './conclude-tubes.js';
import {
  CONCLUSION_STEPS,
  type Prediction,
  type PredictionInput,
  type StepsElsewhere,
} from './conclusion-steps.js';
import type { LampPair } from './faults/mean-dip.js';
import { type PullList, pullList } from './faults/pull-list.js';
import { pullEntries, pullFindings, repairs } from './faults/pull-findings.js';
import { packingOrder } from './packing/packing-order.js';
import { packingEvidence, packingFindings } from './packing/packing-told.js';
import { ofKind } from './survey-light.js';
import { sweepEvidence } from './sweep-evidence.js';
import { implausibleLight } from './transmission/implausible.js';
import type { WallEstimate } from './wall/estimate-wall.js';

export interface MeasureOptions {
  readonly onProgress?: Progress;
  /** Which program and files the result comes from, worked out where the files are read. */
  readonly made?: Result['made'];
  /** Measures further shots on other threads; as for `surveyShots`. */
  readonly elsewhere?: MeasureElsewhere | undefined;
  /** Takes steps of the conclusions on another thread; as for `measureSurveyBeside`. */
  readonly steps?: StepsElsewhere | undefined;
  /** What an earlier run measured; as for `surveyShots`. */
  readonly kept?: KeptSurvey;
}

/** The figures, and the evidence that the page draws; its picture is null, since no file is read here. */
export interface Measurement {
  readonly result: Result;
  readonly evidence: Evidence;
}

const MM_PER_M = 1000;

/** Lamps at stated places, or tubes lit alone, that show which way up the photos are. */
const LEAST_TELLING = { lamp: 3, single: 1 } as const;

function tellsWayUp(lit: readonly LitShot<Shot>[]): boolean {
  return (['lamp', 'single'] as const).some((kind) => ofKind(lit, kind).length >= LEAST_TELLING[kind]);
}

/** What the pairs are measured from. */
function pairsInputOf({ session, trusted, transmission }: BegunConclusions): PairsInput {
  return {
    array: session.array,
    lamps: ofKind(trusted, 'lamp'),
    pairs: ofKind(trusted, 'pair'),
    relative: transmission.relative,
    criterion: session.criterion,
    lampDiameterMm: lampSizeOf(session).diameterMm,
  };
}

/** What a resolving distance is predicted from; null where none was measured. */
function predictionInputOf(
  { session }: BegunConclusions,
  { wall }: ConcludedTubes,
  { resolving }: PairsMeasured,
): PredictionInput | null {
  return resolving && { array: session.array, resolving, wall };
}

function pairAt({ spacingM, distanceM }: MeasuredResolving): LampPair {
  return { spacingMm: spacingM * MM_PER_M, distanceMm: distanceM * MM_PER_M };
}

/** What replacing tubes brings; in dip and distance it rests on the stated places of lamps and pairs. */
function pullOf(
  { consistency }: BegunConclusions,
  { evidence, faults }: ConcludedTubes,
  { resolving }: PairsMeasured,
): Pull {
  const pair = resolving && !consistency.doubtful.pairs ? pairAt(resolving) : null;
  return { pair, list: pullList(evidence, faults, pair) };
}

interface Pull {
  readonly pair: LampPair | null;
  readonly list: PullList;
}

function wallResult(wall: WallEstimate | null): Result['wall'] {
  if (wall === null) return null;
  const { gloss, index, extinction = 0 } = wall.wall;
  return { gloss, uncertainty: wall.glossUncertainty, index, extinction };
}

/**
 * Measures a session: photos in, figures out.
 *
 * Photos are loaded one at a time and not kept. Pure except for `load`, `elsewhere` and `steps`: no file or clock is used, and random
 * numbers come from generators with fixed seeds.
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
  const { elsewhere, kept, made = null, onProgress = () => {}, steps } = options;
  const survey = await surveyShots(session, load, onProgress, elsewhere, kept);
  return steps ? measureSurveyBeside(session, survey, steps, made) : measureSurvey(session, survey, made);
}

/**
 * Draws the conclusions from the light of the cells in each shot. No picture is touched.
 *
 * @param stated - from readSession
 * @param survey - of the session's photos, from surveyShots
 * @param made - which program and files they come from; null = not known
 */
export function measureSurvey(stated: Session, survey: Survey, made: Result['made'] = null): Measurement {
  const begun = beginConclusions(stated, survey);
  const tubes = concludeTubes(begun);
  const pairs = CONCLUSION_STEPS.pairs(pairsInputOf(begun));
  const input = predictionInputOf(begun, tubes, pairs);
  const prediction = input && CONCLUSION_STEPS.prediction(input);
  return measurementOf(stated, { begun, tubes, pairs, prediction, pull: pullOf(begun, tubes, pairs), made });
}

/**
 * The same, with the pairs measured and the resolving distance predicted elsewhere, such as on another thread, while the
 * tubes are judged here.
 *
 * @param steps - takes them; what gives null is done here
 */
export async function measureSurveyBeside(
  stated: Session,
  survey: Survey,
  steps: StepsElsewhere,
  made: Result['made'] = null,
): Promise<Measurement> {
  const begun = beginConclusions(stated, survey);
  const pairsInput = pairsInputOf(begun);
  const pairsElsewhere = steps.pairs(pairsInput);
  const tubes = concludeTubes(begun);
  const pairs = (await pairsElsewhere) ?? CONCLUSION_STEPS.pairs(pairsInput);
  const input = predictionInputOf(begun, tubes, pairs);
  const predictionElsewhere = input && steps.prediction(input);
  const pull = pullOf(begun, tubes, pairs);
  const prediction = input && ((await predictionElsewhere) ?? CONCLUSION_STEPS.prediction(input));
  return measurementOf(stated, { begun, tubes, pairs, prediction, pull, made });
}

/** All conclusions. */
interface Concluded {
  readonly begun: BegunConclusions;
  readonly tubes: ConcludedTubes;
  readonly pairs: PairsMeasured;
  readonly prediction: Prediction | null;
  readonly pull: Pull;
  readonly made: Result['made'];
}

function findingsOf(
  { begun, tubes, pairs, prediction, pull }: Concluded,
  packing: ReturnType<typeof packingOrder> | null,
): Finding[] {
  const { session, survey, turnedDeg, transmission, consistency, trusted } = begun;
  const { lamps, crosstalk, pointing, wall, faults } = tubes;
  const { array } = session;
  const findings = [...begun.findings];
  findings.push(
    ...implausibleLight(
      array,
      transmission.relative,
      transmission.sigma,
      faults.tubes.map(({ fault }) => fault),
    ),
  );
  if (packing) findings.push(...packingFindings(packing, session, survey, turnedDeg));
  const unknown = lamps.length === 0 && ofKind(trusted, 'lamp').length > 0;
  findings.push(...consistency.unchecked);
  if (!tellsWayUp(trusted)) findings.push(finding('could-be-turned', 'cells', {}));
  findings.push(
    ...crosstalk.findings,
    ...(array.kind === 'cell-screen'
      ? [finding('cell-screen', 'array', {})]
      : [
          ...(unknown ? [finding('exposures-unknown', 'pointing', {})] : pointing.findings),
          ...(wall?.findings ?? [finding('wall-unknown', 'wall', {})]),
          ...pairs.findings,
        ]),
    ...faults.findings,
    ...pullFindings(pull.list, pull.pair),
  );
  if (prediction?.predictedDistanceM === null) findings.push(finding('no-prediction', 'resolving', {}));
  return findings;
}

/** The conclusions as result and evidence have them. */
function measurementOf(stated: Session, concluded: Concluded): Measurement {
  const { begun, tubes, pairs, prediction, pull, made } = concluded;
  const { session, survey, even, transmission, absolute, consistency } = begun;
  const { lamps, crosstalk, pointing, wall, faults } = tubes;
  const { array } = session;
  const packing = array.arrangement === 'packed' ? packingOrder(array) : null;
  const findings = findingsOf(concluded, packing);
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
    resolving: pairs.resolving && prediction && { ...pairs.resolving, ...prediction },
    wall: wallResult(wall),
  };
  return {
    result: {
      format: RESULT_FORMAT,
      made,
      array: arrayResult,
      ...flagged(
        doubted,
        consistency,
        findings.some(({ code }) => code === 'doubt-bore'),
      ),
      crosstalk: crosstalk.summary,
      pull: pullEntries(pull.list),
      repairs: repairs(pull.list, pairs.resolving, pairs.dipCurve),
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
