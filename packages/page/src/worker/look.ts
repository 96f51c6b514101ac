import {
  type FirstLook,
  firstLook,
  forgetPhoto,
  nextShot,
  openedPositions,
  openSurvey,
  type Survey,
  surveyOf,
  surveyShot,
  surveyShots,
} from '@twolamp/cells';
import {
  glance,
  lightOfCodes,
  orderTaken,
  type PhotoCodes,
  type PhotoSource,
  photoFaults,
  readCodes,
  readTakenAt,
  smallPicture,
} from '@twolamp/photos/browser';
import { type Evidence, InputError, type Session, type Shot } from '@twolamp/session';
import type { Verdict } from '../bench/bench.js';
import { openStore } from '../store/database.js';
import type { Learned } from '../store/learned.js';
import type { Told } from './measured.js';

/** Wide enough to tell cells of a large array apart on the page; as on the command line. */
const PICTURE_WIDTH_PX = 1600;

const store = openStore();
/** What is known of the bench that is on the table. */
let open: { readonly bench: string; readonly learned: Learned } | null = null;

async function learnedOf(bench: string): Promise<Learned> {
  if (open?.bench !== bench) {
    const kept = await (await store).learned(bench);
    open = { bench, learned: kept ?? { survey: openSurvey(), looks: new Map() } };
  }
  return open.learned;
}

async function codesOf(bench: string, file: string): Promise<PhotoCodes> {
  const blob = await (await store).file(bench, file);
  if (blob === undefined) {
    throw new InputError(file, 'the photo is gone from this browser’s storage', 'the photo added again');
  }
  return readCodes({ name: file, blob });
}

const lightOf = (codes: PhotoCodes, { tone }: Session, file: string) => {
  if (tone === 'bracketed') {
    throw new InputError(
      file,
      'this session learns the camera’s curve from an exposure series, which the page can’t do yet',
      'a session with camera: { tone: srgb } or linear, or the command line',
    );
  }
  return lightOfCodes(codes, tone, 'luminance', file);
};

/** A message without the file's name, which stands beside it already. */
const without = (where: string, { message }: Error) =>
  message.startsWith(`${where}: `) ? message.slice(where.length + 2) : message;

/** Whether a shot belongs to another camera position than the first even shot's: it has its turn when the figures are drawn. */
function wasMoved({ moved }: Learned, { shots }: Session, { photo }: Shot): boolean {
  const index = shots.findIndex((one) => one.photo === photo);
  return shots.slice(0, index + 1).some((one) => moved?.has(one.photo));
}

/** What the look worker does for the page. */
export const lookApi = {
  /**
   * Looks at one photo and measures the light of its cells where the even shot is known.
   *
   * @param session - as it is now, this shot included
   * @param shot - its photo by its name in the bench's folder
   */
  async look(bench: string, session: Session, shot: Shot): Promise<Verdict> {
    const learned = await learnedOf(bench);
    const file = shot.photo;
    forgetPhoto(learned.survey, file);
    learned.looks.delete(file);
    try {
      const codes = await codesOf(bench, file);
      const photo = lightOf(codes, session, file);
      const look = glance(photo);
      const even = session.shots.find((one) => one.kind === 'even' && learned.looks.has(one.photo));
      // A dark shot can only be judged beside an even one.
      const judge =
        even === undefined && shot.kind === 'dark' ? null : learned.looks.get(even?.photo ?? file);
      const faults = judge === null ? [] : photoFaults(shot.kind, look, judge ?? look);
      const found = faults.map(({ spoils, says }) => ({ spoils, says }));
      if (photo.exposureS === null && shot.stated.exposureS === undefined) {
        found.push({
          spoils: false,
          says: 'its exposure time is unknown: state it below, or shots can’t be compared by brightness',
        });
      }
      if (!found.some(({ spoils }) => spoils)) {
        learned.looks.set(file, look);
        const reference = session.shots.find(({ kind }) => kind === 'even');
        const next = wasMoved(learned, session, shot) ? null : nextShot(learned.survey, session);
        // Before the even shot nothing can be measured; then every shot has its turn when the figures are drawn.
        if (next !== null && (next.photo === file || next.kind !== 'even')) {
          try {
            surveyShot(learned.survey, session, session.shots.find((one) => one.photo === file)!, photo);
          } catch (error) {
            if (!(error instanceof InputError)) throw error;
            // Another even shot opens another camera position; photos of one session have one size all the same.
            const first = learned.survey.even?.found;
            const fits = first?.width === photo.width && first.height === photo.height;
            if (shot.kind === 'even' && shot.photo !== reference?.photo && fits)
              learned.moved = new Set(learned.moved).add(file);
            else found.push({ spoils: true, says: without(file, error) });
          }
        }
      }
      return { widthPx: photo.width, heightPx: photo.height, exposureS: photo.exposureS, faults: found };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      return {
        widthPx: 0,
        heightPx: 0,
        exposureS: null,
        faults: [{ spoils: true, says: without(file, error) }],
      };
    }
  },

  /** The order in which photos were taken, as places among them; null where one doesn't say when. */
  async orderTaken(photos: readonly PhotoSource[]): Promise<number[] | null> {
    const times: (string | null)[] = [];
    for (const photo of photos) times.push(await readTakenAt(photo)); // one at a time in memory
    return orderTaken(times);
  },

  /** The even shot as soon as its cells are found; null before. */
  async firstLook(bench: string): Promise<FirstLook | null> {
    return firstLook((await learnedOf(bench)).survey);
  },

  /** Forgets a photo that was taken off its card. */
  async forget(bench: string, file: string): Promise<void> {
    const learned = await learnedOf(bench);
    forgetPhoto(learned.survey, file);
    learned.looks.delete(file);
  },

  /**
   * The light of all cells in all shots; photos that must be measured again are.
   *
   * @param session - the shots that count
   * @returns null before there is an even shot
   * @throws InputError where a photo can't be measured
   */
  async survey(bench: string, session: Session, told: Told): Promise<Survey | null> {
    const { survey } = await learnedOf(bench);
    const load = async ({ photo }: Shot) => lightOf(await codesOf(bench, photo), session, photo);
    let done = 0;
    const take = async (shot: Shot) => {
      told(done++, session.shots.length, shot.photo);
      surveyShot(survey, session, shot, await load(shot));
    };
    let shot = nextShot(survey, session);
    const reference = session.shots.find(({ kind }) => kind === 'even');
    if (shot !== null && shot.photo === reference?.photo) await take(shot);
    if (survey.even !== null && (await openedPositions(session, survey, load)).length > 0) {
      return surveyShots(session, load, told);
    }
    for (shot = nextShot(survey, session); shot !== null; shot = nextShot(survey, session)) await take(shot);
    return surveyOf(survey, session);
  },

  /** Keeps what was learned beside the photos. */
  async keep(bench: string): Promise<void> {
    if (open?.bench === bench) await (await store).keepLearned(bench, open.learned);
  },

  /** The even shot, small, for the report. */
  async picture(bench: string, file: string): Promise<NonNullable<Evidence['picture']>> {
    const { pixels } = await codesOf(bench, file);
    return { photo: file, ...(await smallPicture(pixels, PICTURE_WIDTH_PX)) };
  },
};

export type LookApi = typeof lookApi;
