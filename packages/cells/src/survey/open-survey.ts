import {
  type ArraySpec,
  type DarkShot,
  type EvenShot,
  type Finding,
  finding,
  type PhotoExposure,
  type PhotoRecord,
  type Session,
  type Shot,
  type ShotPhoto,
} from '@twolamp/session';
import type { CellLight } from '../cell-light.js';
import { someCells } from '../flux/cells-on-picture.js';
import { wingShare } from '../flux/wings.js';
import {
  comparable,
  completedExposures,
  type Exposure,
  exposureFactor,
  exposureOf,
} from '../light/exposure.js';
import { type ReducedPhoto, reducePhoto } from '../light/plane.js';
import { judgeDark } from '../photo-kinds/judge-photo.js';
import { photoKindDoubt } from '../photo-kinds/photo-kind-doubt.js';
import { judgeStray, type LightRange, lightRange, strayShare } from '../photo-kinds/stray-light.js';
import { noiseForLight, spotTwists } from '../photo-kinds/noise-for-light.js';
import { TUNING } from '../photo-kinds/tuning.js';
import { brightestSpeck, lookAt, type PhotoLook } from '../photo-kinds/photo-look.js';
import {
  type EvenPhoto,
  type FurtherPhoto,
  type FurtherShot,
  type KnownSheet,
  measureFurther,
  requireSameSize,
} from './further-shot.js';
import { recordOf } from './measure-photo.js';
import { exposureFindings } from './exposure-findings.js';
import type { Survey } from './survey.js';
import { judgedUnlit } from './unlit-photos.js';
import { type FoundCells, findCells, type SurveyedSheet, surveySheet, tubesOf } from './surveyed-sheet.js';

interface Kept {
  readonly record: PhotoRecord;
  /** What the photo itself says of its exposure. */
  readonly exif: PhotoExposure;
  /** Two photos of one name differ in it. */
  readonly serial: number;
}

interface KeptEven extends Kept {
  readonly found: FoundCells;
  /** The array that the cells were found for, as text. */
  readonly array: string;
}

interface KeptDark extends Kept {
  readonly picture: ReducedPhoto;
  readonly look: PhotoLook;
  readonly speck: number;
}

interface KeptPhoto extends Kept, FurtherPhoto {
  /** The key of the sheet with which it was measured. */
  readonly sheet: string;
  /** What else its shot said that counts. */
  readonly stated: string;
}

/**
 * A survey that grows photo by photo. Plain data that structured cloning copies: it may go to a worker or into a browser's
 * storage. Only the functions of this file change it.
 */
export interface OpenSurvey {
  even: KeptEven | null;
  readonly darks: Map<string, KeptDark>;
  /** All other photos, by name. */
  readonly photos: Map<string, KeptPhoto>;
  /** The sheet as learned last; the key tells from which photos and exposures. */
  learned: { readonly key: string; readonly sheet: SurveyedSheet } | null;
  serial: number;
}

const NO_DARK = finding('no-dark', 'photos', {});

/** A survey without photos. */
export function openSurvey(): OpenSurvey {
  return { even: null, darks: new Map(), photos: new Map(), learned: null, serial: 0 };
}

/**
 * The shot whose photo {@link surveyShot} should get next: one that is new, or that must be measured again since the even
 * shot, the dark shots or an exposure have changed. The first even shot comes first, then the dark shots, then the others
 * in the session's order.
 *
 * @param session - as it is now; shots may have been added, changed or removed since the last call
 * @returns null where no photo is wanting, or the session has no even shot
 */
export function nextShot(survey: OpenSurvey, session: Session): Shot | null {
  const reference = referenceOf(session);
  if (!reference) return null;
  const even = evenFor(survey, session);
  if (!even) return reference;
  const dark = darksOf(session).find((one) => !darkFor(survey, even, one));
  if (dark) return dark;
  return furtherShots(survey, session)[0] ?? null;
}

/**
 * All shots that {@link nextShot} asks for once the first even shot and the dark ones are taken in, in the session's
 * order: those that can be measured side by side.
 */
export function furtherShots(survey: OpenSurvey, session: Session): FurtherShot[] {
  const even = evenFor(survey, session);
  if (!even) return [];
  const key = sheetKey(survey, even, session);
  const upToDate = (shot: Shot): boolean => {
    const kept = survey.photos.get(shot.photo);
    if (!kept || kept.record.kind !== shot.kind || kept.sheet !== key) return false;
    if (kept.stated !== statedOf(shot)) return false;
    return textOf(kept.exposure) === textOf(exposureOf(shot, kept.exif));
  };
  const reference = referenceOf(session);
  return session.shots.filter(
    (shot): shot is FurtherShot => shot !== reference && shot.kind !== 'dark' && !upToDate(shot),
  );
}

/** All shots that {@link nextShot} is going to ask for. */
export function pendingShots(survey: OpenSurvey, session: Session): readonly Shot[] {
  const even = evenFor(survey, session);
  if (!even) return session.shots;
  const darks = darksOf(session).filter((one) => !darkFor(survey, even, one));
  if (darks.length === 0) return furtherShots(survey, session);
  const reference = referenceOf(session);
  return session.shots.filter((shot) => shot !== reference && (shot.kind !== 'dark' || darks.includes(shot)));
}

/**
 * Takes in one photo, in place of an earlier one of the same name. Where it can't be measured, the survey stays as it was.
 *
 * @param session - as it is now
 * @param shot - one of its shots; the first even shot goes before all others
 * @param photo - its photo; only its cells' light is kept, and small pictures of even and dark shots
 * @throws InputError where the photo or the even shot can't be measured, with its name
 */
export function surveyShot(survey: OpenSurvey, session: Session, shot: Shot, photo: ShotPhoto): void {
  const { array } = session;
  const exif = { exposureS: photo.exposureS, iso: photo.iso, aperture: photo.aperture };
  if (shot === referenceOf(session)) {
    const found = findCells(photo, array, shot.photo);
    const record = recordOf(shot, photo, [0, 0]);
    survey.even = { found, array: figuresOf(array), record, exif, serial: ++survey.serial };
    // Dark shots were looked at where the cells lay.
    survey.darks.clear();
    survey.photos.clear();
    return;
  }
  const even = evenFor(survey, session);
  if (!even) throw new RangeError(`the first even shot must be surveyed before ${shot.photo}`);
  if (shot.kind === 'dark') {
    requireSameSize(photo, evenPhotoOf(even), shot.photo);
    const picture = reducePhoto(photo, even.found.picture.factor);
    const record = recordOf(shot, photo, null);
    const { first } = even.found;
    const tubes = tubesOf(first);
    const look = lookAt(picture, first.cells, tubes, array.arrangement);
    const speck = brightestSpeck(picture, first.cells, tubes, look.gap);
    survey.darks.set(shot.photo, { picture, look, speck, record, exif, serial: ++survey.serial });
    return;
  }
  const known = knownWith(survey, even, session);
  takeInFurther(survey, shot, known, measureFurther(known, shot, photo));
}

/**
 * What further shots are measured with, by {@link measureFurther}.
 *
 * @throws InputError where the sheet can't be learned from the even shot
 * @throws RangeError before the first even shot is taken in
 */
export function knownSheet(survey: OpenSurvey, session: Session): KnownSheet {
  const even = evenFor(survey, session);
  if (!even) throw new RangeError('the first even shot must be surveyed before others');
  return knownWith(survey, even, session);
}

function knownWith(survey: OpenSurvey, even: KeptEven, session: Session): KnownSheet {
  const learned = learnedSheet(survey, even, session);
  return { ...learned, even: evenPhotoOf(even), look: even.found.look, array: session.array };
}

/** Takes in what a further shot's photo gave, measured with a sheet from {@link knownSheet}. */
export function takeInFurther(
  survey: OpenSurvey,
  shot: Shot,
  known: KnownSheet,
  measured: FurtherPhoto,
): void {
  const stated = statedOf(shot);
  survey.photos.set(shot.photo, { ...measured, sheet: known.key, stated, serial: ++survey.serial });
}

/** Forgets a photo, so that {@link nextShot} asks for it again: for one that another has replaced under its name. */
export function forgetPhoto(survey: OpenSurvey, photo: string): void {
  if (survey.even?.record.photo === photo) survey.even = null;
  survey.darks.delete(photo);
  survey.photos.delete(photo);
}

/**
 * What the photos taken in so far give. Those that {@link nextShot} asks for again count as they were measured last, with
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

/** What is known of each shot, in the session's order; shots that nothing is known of are left out. */
function keptFor(survey: OpenSurvey, even: KeptEven, { shots }: Session): Map<Shot, Kept> {
  const kept = new Map<Shot, Kept>();
  for (const shot of shots) {
    const photo = survey.photos.get(shot.photo);
    if (shot.photo === even.record.photo) kept.set(shot, even);
    else if (shot.kind === 'dark') {
      const dark = darkFor(survey, even, shot);
      if (dark) kept.set(shot, dark);
    } else if (photo?.record.kind === shot.kind) kept.set(shot, photo);
  }
  return kept;
}

const isDark = (kept: Kept): kept is KeptDark => kept.record.kind === 'dark';
const isMeasured = (kept: Kept): kept is KeptPhoto => 'light' in kept;

/** The even shot in which the cells are found: the session's first one. */
function referenceOf({ shots }: Session): EvenShot | undefined {
  return shots.find((shot): shot is EvenShot => shot.kind === 'even');
}

function darksOf({ shots }: Session): DarkShot[] {
  return shots.filter((shot): shot is DarkShot => shot.kind === 'dark');
}

/** What is known of the session's first even shot, found for the session's array. */
function evenFor({ even }: OpenSurvey, session: Session): KeptEven | null {
  const fits = even?.record.photo === referenceOf(session)?.photo && even?.array === figuresOf(session.array);
  return fits ? even : null;
}

/** What is known of a dark shot, reduced as the even shot is. */
function darkFor({ darks }: OpenSurvey, { found }: KeptEven, { photo }: DarkShot): KeptDark | undefined {
  const dark = darks.get(photo);
  const fits =
    dark?.picture.factor === found.picture.factor &&
    dark.record.widthPx === found.width &&
    dark.record.heightPx === found.height;
  return fits ? dark : undefined;
}

/** Exposure of a dark shot over that of the even shot; null where it isn't known. */
function darkExposure(dark: KeptDark, even: KeptEven, session: Session): number | null {
  const shot = session.shots.find(({ photo }) => photo === dark.record.photo)!;
  const exposures = [exposureOf(shot, dark.exif), exposureOf(referenceOf(session)!, even.exif)] as const;
  return comparable(exposures) ? exposureFactor(exposures[0]) / exposureFactor(exposures[1]) : null;
}

/** What measuring a photo takes from its shot, besides its kind and exposure: the tube that is lit alone. */
const statedOf = (shot: Shot): string => (shot.kind === 'single' ? `${shot.row} ${shot.column}` : '');

const textOf = (exposure: Exposure): string => `${exposure.seconds} ${exposure.iso} ${exposure.aperture}`;

/** What finding and learning the cells takes from the stated array. */
function figuresOf({
  rows,
  columns,
  arrangement,
  shiftedRows,
  tubeBoreMm,
  backPitchMm,
  map,
  unfilled,
  tubes,
}: ArraySpec): string {
  const outline = [unfilled, tubes, ...(map ?? [])];
  return [rows, columns, arrangement, shiftedRows, tubeBoreMm, backPitchMm, ...outline].join(' ');
}

interface TimedDark {
  readonly serial: number;
  readonly frame: { readonly plane: ReducedPhoto; readonly exposure: Exposure };
}

function timedDarks(survey: OpenSurvey, even: KeptEven, session: Session): TimedDark[] {
  return darksOf(session).flatMap((shot) => {
    const dark = darkFor(survey, even, shot);
    if (!dark || judgeDark(dark.look, dark.speck, even.found.look, darkExposure(dark, even, session)))
      return [];
    return [{ serial: dark.serial, frame: { plane: dark.picture, exposure: exposureOf(shot, dark.exif) } }];
  });
}

/** Tells what the sheet is learned from. */
function sheetKey(survey: OpenSurvey, even: KeptEven, session: Session): string {
  const own = `${even.serial} ${textOf(exposureOf(referenceOf(session)!, even.exif))}`;
  const darks = timedDarks(survey, even, session);
  return [own, ...darks.map(({ serial, frame }) => `${serial} ${textOf(frame.exposure)}`)].join(', ');
}

/** The sheet as learned from the even shot and the dark shots taken in so far. */
function learnedSheet(
  survey: OpenSurvey,
  even: KeptEven,
  session: Session,
): NonNullable<OpenSurvey['learned']> {
  const key = sheetKey(survey, even, session);
  if (survey.learned?.key === key) return survey.learned;
  const reference = referenceOf(session)!;
  const frames = timedDarks(survey, even, session).map(({ frame }) => frame);
  const exposure = exposureOf(reference, even.exif);
  const sheet = surveySheet(even.found, reference, exposure, frames, session.array);
  survey.learned = { key, sheet };
  return survey.learned;
}

/** Light per unit of exposure. */
function scaled(light: CellLight, factor: number): CellLight {
  return { ...light, flux: divided(light.flux, factor), sigma: divided(light.sigma, factor) };
}

const divided = (values: Float64Array, by: number): Float64Array => values.map((value) => value / by);

function evenPhotoOf({ found, record }: KeptEven): EvenPhoto {
  return { name: record.photo, width: found.width, height: found.height };
}
