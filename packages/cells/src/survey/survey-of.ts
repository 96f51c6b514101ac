import { type Finding, finding, type Session, type Shot } from '@twolamp/session';
import { type CellLight, someCells, wingShare } from '@twolamp/flux';
import { completedExposures, exposureFactor, exposureOf } from '../light/exposure.js';
import { judgeDark } from '../photo-kinds/judge-photo.js';
import { noiseForLight, spotTwists } from '../photo-kinds/noise-for-light.js';
import { photoKindDoubt } from '../photo-kinds/photo-kind-doubt.js';
import { judgeStray, type LightRange, lightRange, strayShare } from '../photo-kinds/stray-light.js';
import { TUNING } from '../photo-kinds/tuning.js';
import { exposureFindings } from './exposure-findings.js';
import {
  darkExposure,
  darksOf,
  evenFor,
  isDark,
  isMeasured,
  type Kept,
  type KeptEven,
  keptFor,
  type OpenSurvey,
  referenceOf,
} from './kept-photos.js';
import { learnedSheet } from './learned-sheet.js';
import type { Survey } from './survey.js';
import type { SurveyedSheet } from './surveyed-sheet.js';
import { judgedUnlit } from './unlit-photos.js';

const NO_DARK = finding('no-dark', 'photos', {});

/**
 * What the photos taken in so far give. Those that nextShot asks for again count as they were measured last, with
 * the dark shots of that time.
 *
 * @param session - as it is now
 * @returns null before the first even shot is taken in
 * @throws InputError where the even shot can't be measured
 */
export function surveyOf(survey: OpenSurvey, session: Session): Survey | null {
  const even = evenFor(survey, session);
  if (!even) return null;
  const { sheet } = learnedSheet(survey, even, session);
  const darks = darksOf(session);
  const kept = keptFor(survey, even, session);
  const shots = [...kept.keys()];
  const completed = completedExposures(
    shots.map(({ kind }) => kind),
    [...kept].map(([shot, { exif }]) => exposureOf(shot, exif)),
  );
  const { exposures } = completed;
  const lit: Survey['lit'][number][] = [];
  const bare: Survey['bare'][number][] = [];
  const findings: Finding[] = exposureFindings(shots, completed);
  const exposedOf = (n: number, range: LightRange) => ({
    range,
    exposure: completed.unknown.includes(n) ? null : exposureFactor(exposures[n]),
  });
  const evenRange = lightRange(even.found.look);
  const evenLight = { ...exposedOf([...kept.values()].indexOf(even), evenRange), light: sheet.light };
  const exposed = [...kept].flatMap(([{ kind }, one], n) => {
    if (completed.unknown.includes(n) || kind === 'bare' || isDark(one)) return [];
    if (isMeasured(one) && !one.light) return [];
    const range = isMeasured(one) ? one.range : evenRange;
    return [{ range, exposure: exposureFactor(exposures[n]) }];
  });
  for (const [n, [shot, one]] of [...kept].entries()) {
    const factor = exposureFactor(exposures[n]);
    if (one === even) {
      lit.unshift({ shot, light: scaled(sheet.light, factor) });
    } else if (isDark(one)) {
      const dark = { range: lightRange(one.look), exposure: factor };
      const asStray = () => (completed.unknown.includes(n) ? null : judgeStray(dark, exposed));
      const ratio = darkExposure(one, even, session);
      const seenAs = judgeDark(one.look, one.speck, even.found.look, ratio) ?? asStray();
      const share = strayShare(one.look, even.found.look, ratio);
      if (seenAs) findings.push(photoKindDoubt(shot, seenAs, null));
      else if (share > TUNING.strayStrong)
        findings.push(finding('stray-light-strong', shot.photo, { share }));
    } else if (isMeasured(one)) {
      findings.push(...judgedUnlit(one.findings, shot, exposedOf(n, one.range), evenLight, session.array));
      if (one.light) lit.push({ shot, light: scaled(one.light, factor) });
      if (one.bare && !completed.unknown.includes(n)) {
        const { level, sigma } = one.bare;
        bare.push({ level: divided(level, factor), sigma: divided(sigma, factor) });
      }
    }
  }
  return {
    u: sheet.u,
    v: sheet.v,
    cells: someCells(sheet.model.cells, sheet.tubes),
    unfilled: even.found.unfilled,
    litUnstated: even.found.litUnstated,
    middles: sheet.middles,
    backDepartures: sheet.backDepartures,
    places: sheet.places,
    factor: sheet.factor,
    wingShare: wingShare(sheet.model.wings),
    sheetScatter: sheet.sheetScatter,
    lit,
    bare,
    comparable: completed.comparable,
    unexposed: new Set(completed.unknown.map((n) => shots[n].photo)),
    photos: [...kept.values()].map(({ record }, n) => ({
      ...record,
      exposureS: exposures[n].seconds,
      iso: exposures[n].iso,
    })),
    findings: [
      ...sheet.findings,
      ...(darks.length === 0 ? [NO_DARK] : []),
      ...findings,
      ...smoothFindings(even, session, kept, sheet),
    ],
  };
}

/** Tells where two even shots have less noise than their light brings. */
function smoothFindings(
  even: KeptEven,
  session: Session,
  kept: ReadonlyMap<Shot, Kept>,
  sheet: SurveyedSheet,
): Finding[] {
  for (const [shot, one] of kept) {
    if (!isMeasured(one) || !one.twists) continue;
    const first = exposureOf(referenceOf(session)!, even.exif).iso;
    const second = one.exposure.iso;
    if (first === null || second === null) return [];
    const twists = spotTwists(even.found.picture, sheet.model.cells, sheet.tubes);
    const noise = noiseForLight(twists, one.twists, sheet.factor, [first, second]);
    if (noise === null || noise.seenShare > TUNING.noiseShare * noise.leastShare) return [];
    const { photo } = even.record;
    return [finding('even-too-smooth', photo, { against: shot.photo, iso: second, ...noise })];
  }
  return [];
}

/** Light per unit of exposure. */
function scaled(light: CellLight, factor: number): CellLight {
  return { ...light, flux: divided(light.flux, factor), sigma: divided(light.sigma, factor) };
}

const divided = (values: Float64Array, by: number): Float64Array => values.map((value) => value / by);
