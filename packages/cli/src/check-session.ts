import {
  type CameraMove,
  cameraMoves,
  type KeptSurvey,
  keptSurvey,
  openedPositions,
  surveyShot,
} from '@twolamp/cells';
import { type Glance, glance, photoFaults, readReduciblePhoto } from '@twolamp/photos';
import { missingShots } from '@twolamp/plan';
import { findingSentence } from '@twolamp/words';
import { InputError, type Session, type Shot, type ShotPhoto, unusualValues } from '@twolamp/session';
import { withLamps } from './check-statements.js';
import type { OpenSession } from './files/open-session.js';
import { mapHint } from './map-hint.js';
import { sessionPhotos } from './photos-of-session.js';
import type { Progress } from './terminal.js';

/** Something a builder should know before measuring. */
export interface Finding {
  /** Null where it is about the session as a whole. */
  readonly photo: string | null;
  /** True where a shot cannot be used as it is; else it only makes the result poorer. */
  readonly spoils: boolean;
  readonly says: string;
}

/** Beyond this share of a pitch, cells could be mistaken for their neighbours. */
const FAR_MOVE_PITCHES = 0.35;

/** What other shots are held against. */
interface EvenShot {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly look: Glance;
  readonly moveOf: (photo: ShotPhoto) => CameraMove;
}

const isSameSize = (photo: ShotPhoto, even: EvenShot): boolean =>
  photo.width === even.widthPx && photo.height === even.heightPx;

const isMoved = (photo: ShotPhoto, even: EvenShot): boolean =>
  isSameSize(photo, even) && even.moveOf(photo).pitches > FAR_MOVE_PITCHES;

function findingsOf(shot: Shot, photo: ShotPhoto, even: EvenShot | null): Finding[] {
  const look = glance(photo);
  const findings: Finding[] = photoFaults(shot.kind, look, even?.look ?? look).map(({ spoils, says }) => ({
    photo: shot.photo,
    spoils,
    says,
  }));
  if (even && !isSameSize(photo, even)) {
    const says = `it has ${photo.width} × ${photo.height} pixels, the even shot ${even.widthPx} × ${even.heightPx}`;
    findings.push({ photo: shot.photo, spoils: true, says });
  }
  if (photo.processed === true) {
    const says =
      'the phone says that it merged frames or changed tones in parts of this photo: turn HDR, night and portrait modes off';
    findings.push({ photo: shot.photo, spoils: false, says });
  }
  if (photo.exposureS === null && shot.stated.exposureS === undefined) {
    const says =
      'its exposure time is unknown: state it on the shot, or its brightness can’t be compared with other shots';
    findings.push({ photo: shot.photo, spoils: false, says });
  }
  return findings;
}

/**
 * Where tubes are lit in a photo: that the camera had moved by too much when it was taken, as far as a quick look tells. A lamp that tubes see
 * aside lights one side of their exits, which looks the same.
 *
 * @param measured - whether the photo's light could be measured all the same
 */
function moveOf(shot: Shot, photo: ShotPhoto, even: EvenShot | null, measured: boolean): Finding[] {
  if (!even || shot.kind === 'dark' || shot.kind === 'bare' || !isMoved(photo, even)) return [];
  const { px, pitches } = even.moveOf(photo);
  const by = `about ${Math.round(px)} pixels (${pitches.toFixed(1)} of a pitch)`;
  const shoot = 'take an even shot from there and list it before this photo';
  const says = measured
    ? `its light lies ${by} beside the tubes’ middles: a lamp far to the side does that. If the camera had moved instead, ${shoot}`
    : `the camera had moved by ${by}: ${shoot}`;
  return [{ photo: shot.photo, spoils: !measured, says }];
}

/** What a look at every photo gives. */
export interface LookedThrough {
  readonly findings: readonly Finding[];
  /** The light of the cells in those photos that are held against what the session states; the photos need not be read again. */
  readonly kept: KeptSurvey;
}

/** The first even shot, the dark ones and the other even ones go first: with them the rest is judged and measured. */
function inTurn(shots: readonly Shot[]): Shot[] {
  const first = shots.find(({ kind }) => kind === 'even');
  const turnOf = (shot: Shot) =>
    shot === first ? 0 : shot.kind === 'dark' ? 1 : shot.kind === 'even' ? 2 : 3;
  return [...shots].sort((a, b) => turnOf(a) - turnOf(b));
}

/**
 * Takes a photo's light in, for the statements about lamps and array to be held against it. One that can't be measured is
 * left to that check, which tells why.
 *
 * @returns whether it was measured
 */
async function takeIn(
  { survey, unmoved }: KeptSurvey,
  session: Session,
  shot: Shot,
  photo: ShotPhoto,
): Promise<boolean> {
  if (!session.shots.includes(shot)) return false;
  const first = session.shots.find(({ kind }) => kind === 'even')!;
  if (shot !== first && survey.even === null) return false;
  try {
    if (shot.kind === 'even' && shot !== first) {
      const opened = await openedPositions(
        { ...session, shots: [first, shot] },
        survey,
        async () => photo,
        unmoved,
      );
      if (opened.length > 0) return false;
    }
    surveyShot(survey, session, shot, photo);
    return true;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return false;
  }
}

/**
 * Looks for everything that would spoil a measurement: photos that can't be read, are clipped, too dark, moved or blurred,
 * and shots that are missing.
 */
export async function checkSession(open: OpenSession, onProgress: Progress): Promise<LookedThrough> {
  const { shots } = open.session;
  const evenFirst = inTurn(shots);
  const { load, findings: ofSeries } = await sessionPhotos(open, readReduciblePhoto, evenFirst);
  const stated = withLamps(open.session);
  const kept = keptSurvey();
  const findings: Finding[] = ofSeries.map((one) => ({
    photo: null,
    spoils: false,
    says: findingSentence(one),
  }));
  let even: EvenShot | null = null;
  /** Even shots from elsewhere, with their places in the session: what is listed after one was taken from there. */
  const moved = new Map<Shot, EvenShot>();
  const positionOf = (shot: Shot): EvenShot | null => {
    const before = shots.slice(0, shots.indexOf(shot)).filter((one) => moved.has(one));
    return moved.get(before.at(-1)!) ?? even;
  };
  for (const [index, shot] of evenFirst.entries()) {
    onProgress(index + 1, shots.length, shot.photo);
    let photo: ShotPhoto | null = null;
    try {
      photo = await load(shot);
      const own = (taken: ShotPhoto): EvenShot => ({
        widthPx: taken.width,
        heightPx: taken.height,
        look: glance(taken),
        moveOf: cameraMoves(taken, open.session.array, shot.photo),
      });
      const known = positionOf(shot);
      if (shot.kind === 'even' && known !== null && isMoved(photo, known)) {
        moved.set(shot, own(photo));
        const px = Math.round(known.moveOf(photo).px);
        const says = `taken from another place (the camera had moved by about ${px} pixels): the shots listed after it are measured from there`;
        findings.push({ photo: shot.photo, spoils: false, says });
      }
      const position = moved.get(shot) ?? known;
      findings.push(...findingsOf(shot, photo, position));
      if (shot.kind === 'even') even ??= own(photo);
      const measured =
        !findings.some(({ spoils }) => spoils) &&
        positionOf(shot) === even &&
        !moved.has(shot) &&
        (await takeIn(kept, stated, shot, photo));
      findings.push(...moveOf(shot, photo, position, measured));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      // What the photo shows helps where it and the stated array disagree.
      const shown =
        photo !== null && shot.kind === 'even' && even === null ? mapHint(photo, shot.photo) : null;
      if (shown !== null) findings.push({ photo: shot.photo, spoils: false, says: shown });
      findings.push({ photo: shot.photo, spoils: true, says: error.message.slice(error.where.length + 2) });
    }
  }
  const unusual = unusualValues(open.session).map(({ field, says }) => ({
    photo: null,
    spoils: false,
    says: `${field}: ${says}`,
  }));
  const missing = missingShots(open.session).map(({ says }) => ({ photo: null, spoils: false, says }));
  return { findings: [...unusual, ...findings, ...missing], kept };
}
