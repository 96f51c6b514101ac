import type { Survey } from '@twolamp/cells';
import type { LitShot } from '@twolamp/flux';
import { mapAt } from '@twolamp/optics';
import {
  type ArraySpec,
  type EvenShot,
  type Finding,
  finding,
  type Session,
  type Shot,
} from '@twolamp/session';
import { median } from '@twolamp/numeric';
import { mean } from 'simple-statistics';
import { checkConsistency, type Consistency } from '@twolamp/consistency';
import { uprightPlaces } from './packing/upright-places.js';
import { repeatFindings } from './repeats.js';
import { type BareSheet, evenLight, lampRepeats, ofKind } from './survey-light.js';
import { type AbsoluteTransmission, absoluteTransmission } from './transmission/absolute.js';
import type { RelativeTransmission } from './transmission/relative.js';
import { MOST_SCATTER } from './transmission/tuning.js';

/** What all further conclusions rest on. */
export interface BegunConclusions {
  /** With the places of packed tubes. */
  readonly session: Session;
  /** By how much the photos show packed tubes turned. */
  readonly turnedDeg: number;
  readonly survey: Survey;
  readonly even: LitShot<EvenShot>;
  readonly transmission: RelativeTransmission;
  readonly absolute: AbsoluteTransmission | null;
  readonly consistency: Consistency;
  /** Lit shots without those that what the session states does not fit. */
  readonly trusted: readonly LitShot<Shot>[];
  readonly findings: readonly Finding[];
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

/** Packed tubes are where they were found; with their places in the array nothing later asks whether it has rows. */
function withPlaces(session: Session, { places, lit }: Survey): { session: Session; turnedDeg: number } {
  if (!places) return { session, turnedDeg: 0 };
  const upright = uprightPlaces(places, ofKind(lit, 'lamp'));
  const array: ArraySpec = { ...session.array, places: upright.places };
  return { session: { ...session, array }, turnedDeg: upright.turnedDeg };
}

/**
 * Whether the session and its photos fit each other, and what the evenly lit photos tell.
 *
 * @param stated - from readSession
 * @param survey - of the session's photos
 */
export function beginConclusions(stated: Session, survey: Survey): BegunConclusions {
  const { session, turnedDeg } = withPlaces(stated, survey);
  const { even, bare, sheetScatter, transmission } = evenLight(survey);
  const consistency = checkConsistency(session, survey, transmission.relative);
  const repeats = [ofKind(survey.lit, 'even'), ...lampRepeats(ofKind(survey.lit, 'lamp'))];
  const findings: Finding[] = [
    ...consistency.findings,
    ...survey.findings,
    ...repeatFindings(session.array, repeats),
    ...besideMap(session, survey),
  ];
  if (sheetScatter > 0) {
    findings.push(finding('sheet-non-uniform', 'transmission.relative', { scatter: sheetScatter }));
  }
  const absolute = absoluteOf(survey, bare, even, session, findings);
  const trusted = survey.lit.filter(({ shot }) => !consistency.leftOut.has(shot.photo));
  return { session, turnedDeg, survey, even, transmission, absolute, consistency, trusted, findings };
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
