import { firstLook, openSurvey, type Survey, surveyOf, surveyShot } from '@twolamp/cells';
import { dipBySeparation, type PairBySeparation, tellsDistance } from '@twolamp/measure';
import { lightOfCodes } from '@twolamp/photos/browser';
import type { EvenShot, PairShot, ReduciblePhoto, Session } from '@twolamp/session';
import type { BenchSetup } from '../bench/array-form.js';

const EVEN: EvenShot = { photo: 'even light', kind: 'even', stated: {} };

/** A step farther than this, a pair that is still separate teaches more of how one lamp spreads. */
const FARTHER = 1.15;

/** What the camera has shown so far. */
interface Watched {
  readonly session: Session;
  readonly survey: ReturnType<typeof openSurvey>;
  /** The even light, the pair at its first, measured distance, and pairs farther away that were clearly read. */
  known: Survey | null;
  last: PairShot | null;
}

let watched: Watched | null = null;

function lightOfFrame({ width, height, data }: ImageData): ReduciblePhoto {
  const pixels = { width, height, channels: 4 as const, codes: 256, data };
  const facts = { exposureS: null, iso: null, aperture: null, takenAt: null };
  return lightOfCodes({ pixels, profile: null, facts }, 'srgb', 'luminance', 'the camera');
}

/** What the live worker does for the page. */
export const liveApi = {
  /**
   * Finds the cells in a frame of the evenly lit array.
   *
   * @returns how many, or null where the array's tubes hardly lean apart, so that no separation tells a distance
   * @throws InputError where they can't be found
   */
  async even({ array, criterion, lampDiameterMm }: BenchSetup, frame: ImageData): Promise<number | null> {
    if (!tellsDistance(array)) return null;
    const session: Session = { array, criterion, lampDiameterMm, tone: 'srgb', shots: [EVEN] };
    const survey = openSurvey();
    surveyShot(survey, session, EVEN, lightOfFrame(frame));
    watched = { session, survey, known: null, last: null };
    return firstLook(survey)!.light.length;
  },

  /**
   * The lamps at the place where the walk begins.
   *
   * @param distanceMm - measured by tape
   * @throws InputError where the camera has moved
   */
  async begin(spacingMm: number, distanceMm: number, frame: ImageData): Promise<PairBySeparation | null> {
    if (watched === null) return null;
    const shot: PairShot = {
      photo: 'the first place',
      kind: 'pair',
      stated: {},
      spacingMm,
      distanceMm,
      turnedDeg: 0,
      acrossMm: 0,
      upMm: 0,
    };
    const session = { ...watched.session, shots: [EVEN, shot] };
    surveyShot(watched.survey, session, shot, lightOfFrame(frame));
    watched.known = surveyOf(watched.survey, session);
    watched.last = shot;
    return read(shot, session);
  },

  /** The lamps wherever they are now; null where they can't be seen. */
  async now(frame: ImageData): Promise<PairBySeparation | null> {
    if (watched?.known == null || watched.last === null) return null;
    const shot = { ...watched.last, photo: 'now' };
    const session = { ...watched.session, shots: [EVEN, shot] };
    surveyShot(watched.survey, session, shot, lightOfFrame(frame));
    return read(shot, session);
  },
};

function read(shot: PairShot, session: Session): PairBySeparation | null {
  const { survey, known } = watched!;
  const lit = surveyOf(survey, session)?.lit.find((one) => one.shot.photo === shot.photo);
  if (!lit || !known) return null;
  const found = dipBySeparation(session, known, { shot, light: lit.light });
  if (!found) return null;
  const here = { ...shot, distanceMm: found.distanceMm };
  watched!.last = here;
  const farthest = Math.max(...known.lit.map((one) => (one.shot.kind === 'pair' ? one.shot.distanceMm : 0)));
  if (found.stopped === 'settled' && found.separate && here.distanceMm > FARTHER * farthest) {
    watched!.known = { ...known, lit: [...known.lit, { shot: here, light: lit.light }] };
  }
  return found;
}

export type LiveApi = typeof liveApi;
