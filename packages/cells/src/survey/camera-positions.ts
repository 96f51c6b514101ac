import { type ArrayView, matchFingerprints } from '@twolamp/optics';
import { fitRobustSurface, median } from '@twolamp/numeric';
import {
  type ArraySpec,
  type Finding,
  finding,
  InputError,
  type ShotPhoto,
  type Plane,
  type Session,
  type Shot,
} from '@twolamp/session';
import type { CellLight } from '@twolamp/flux';
import { reducePhoto } from '@twolamp/places';
import { lookAt } from '../photo-kinds/photo-look.js';
import { LARGEST_DRIFT_PITCHES } from './measure-photo.js';
import type { Survey } from './survey.js';
import { type FoundCells, findCells, tubesOf } from './surveyed-sheet.js';
import { POSITIONS } from './tuning.js';

/** An even shot from elsewhere, which opens a camera position for the shots listed after it. */
export interface OpenedPosition {
  /** The even shot. */
  readonly photo: string;
  /** How far the camera had moved against the position before. */
  readonly movedPitches: number;
  readonly movedPx: number;
  /** Largest departure of a cell's place from a mere shift: what a turn or another distance does. */
  readonly turnedPitches: number;
  /** How the array lies against the first even shot; null where as there. */
  readonly view: ArrayView | null;
  /** The tube of this position that is each tube of the first one. */
  readonly tubes: Int32Array | null;
}

/**
 * Logarithm of each tube's light against the smooth trend, as the photo shows it before anything is solved; null where most
 * tubes are dark.
 */
function fingerprintOf({ first, look }: Pick<FoundCells, 'first' | 'look'>): Float64Array | null {
  const tubes = tubesOf(first);
  const light = look.spot.map((spot, n) => spot - look.gap[n]!);
  const typical = median(light.filter((value) => value > 0));
  const logs = light.map((value) => (value > POSITIONS.leastLight * typical ? Math.log(value) : Number.NaN));
  if (logs.filter(Number.isFinite).length < tubes.length / 2) return null;
  const [u, v] = [tubes.map((k) => first.u[k]!), tubes.map((k) => first.v[k]!)];
  const { fitted } = fitRobustSurface(u, v, logs, 2);
  // A dark tube is part of the pattern as well: the darkest of all.
  return logs.map((value, n) => (Number.isNaN(value) ? -1 : value - fitted[n]!));
}

/** How the cells of a second even shot lie against those of a first one, in pixels of the photo. */
function moveBetween(one: FoundCells, other: FoundCells) {
  const place = (found: FoundCells, values: Float64Array, k: number) =>
    (values[k]! + 0.5) * found.picture.factor;
  const by = (axis: 'x' | 'y') =>
    one.first.cells.x.map((_, k) =>
      one.first.found[k] && other.first.found[k]
        ? place(other, other.first.cells[axis], k) - place(one, one.first.cells[axis], k)
        : Number.NaN,
    );
  const { u, v } = one.first;
  const [x, y] = [by('x'), by('y')].map((moves) => fitRobustSurface(u, v, moves, 1).fitted);
  const [shiftX, shiftY] = [median(x!), median(y!)];
  const turnedPx = x!.reduce((most, dx, k) => Math.max(most, Math.hypot(dx - shiftX, y![k]! - shiftY)), 0);
  return { shiftPx: Math.hypot(shiftX, shiftY), turnedPx };
}

/**
 * How the array shows in a later even shot against the first one.
 * @throws InputError where it would fit elsewhere better, by whole pitches
 */
function viewOf(first: FoundCells, other: FoundCells, array: ArraySpec, photo: string) {
  const [print, otherPrint] = [fingerprintOf(first), fingerprintOf(other)];
  if (!print || !otherPrint) return null;
  const { upright, seen } = matchFingerprints(array, print, otherPrint);
  if (!seen || seen === upright) return null;
  const { across, up } = seen.view;
  if (Math.hypot(across, up) < 0.5) return seen;
  const pitches = (value: number) => value.toFixed(1);
  throw new InputError(
    photo,
    `the tubes’ light fits the first even shot when taken ${pitches(across)} pitches to the right and ${pitches(up)} up, not where the outermost rows and columns say`,
    'some light from every outermost row and column in each even shot',
  );
}

/**
 * A quick look whether a further even shot was surely taken from where the one before was: the spots' light lies about the
 * same places, and differs from tube to tube as there.
 */
export function isSameView(before: FoundCells, photo: ShotPhoto, array: ArraySpec): boolean {
  const { first, picture, width, height } = before;
  if (array.arrangement === 'packed' || photo.width !== width || photo.height !== height) return false;
  const { cells, pitchPx, u, v } = first;
  const now = reducePhoto(photo, picture.factor);
  const moves = Array.from(u.keys(), (k) => {
    const [x, y] = [now, picture].map((one) => centreOfLight(one, cells.x[k]!, cells.y[k]!, pitchPx / 2));
    return [(x![0] - y![0]) / pitchPx, (x![1] - y![1]) / pitchPx] as const;
  });
  if (moves.filter(([x]) => Number.isFinite(x)).length < u.length / 2) return false;
  const [across, down] = ([0, 1] as const).map(
    (axis) =>
      fitRobustSurface(
        u,
        v,
        moves.map((move) => move[axis]),
        1,
      ).fitted,
  );
  if (across!.some((x, k) => Math.hypot(x, down![k]!) > POSITIONS.stillPitches)) return false;
  const look = lookAt(now, cells, tubesOf(first), array.arrangement);
  const [print, printNow] = [fingerprintOf(before), fingerprintOf({ first, look })];
  if (!print || !printNow) return false;
  const { upright, seen } = matchFingerprints(array, print, printNow);
  return seen === upright;
}

/** Centre of light within a radius, above the darkest pixel there; NaN where nothing stands out. */
function centreOfLight({ data, width, height }: Plane, x: number, y: number, radius: number) {
  let [sum, sumX, sumY, count, placeX, placeY] = [0, 0, 0, 0, 0, 0];
  let darkest = Number.POSITIVE_INFINITY;
  for (let row = Math.ceil(y - radius); row <= y + radius; row++) {
    for (let column = Math.ceil(x - radius); column <= x + radius; column++) {
      const inside = row >= 0 && row < height && column >= 0 && column < width;
      if (!inside || Math.hypot(column - x, row - y) > radius) continue;
      const light = data[row * width + column]!;
      darkest = Math.min(darkest, light);
      sum += light;
      sumX += light * column;
      sumY += light * row;
      count++;
      placeX += column;
      placeY += row;
    }
  }
  const above = sum - count * darkest;
  return [(sumX - darkest * placeX) / above, (sumY - darkest * placeY) / above] as const;
}

/**
 * Whether a further even shot was taken from elsewhere than the one before.
 *
 * @param first - cells of the session's first even shot
 * @param before - cells of the even shot that opened the position so far
 * @returns what it opens, with its cells; null where the camera hadn't moved, or no cells are found in the photo or most are
 *   dark, so that it is judged as any other
 * @throws InputError where it can't be told which cell is which
 */
export function openedBy(
  first: FoundCells,
  before: FoundCells,
  shot: Shot,
  photo: ShotPhoto,
  array: ArraySpec,
): { readonly opened: OpenedPosition; readonly found: FoundCells } | null {
  // Packed tubes are followed from one camera position only: their numbers are those of its photo.
  if (array.arrangement === 'packed') return null;
  if (photo.width !== first.width || photo.height !== first.height) return null;
  let found: FoundCells;
  try {
    found = findCells(photo, array, shot.photo);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
  if (found.first.cells.x.length !== before.first.cells.x.length) return null;
  // No even light: no camera position is told from it.
  if (!fingerprintOf(found)) return null;
  const pitchPx = before.first.cells.pitchPx * before.picture.factor;
  const { shiftPx, turnedPx } = moveBetween(before, found);
  const match = viewOf(first, found, array, shot.photo);
  const [movedPitches, turnedPitches] = [shiftPx / pitchPx, turnedPx / pitchPx];
  if (!match && movedPitches <= LARGEST_DRIFT_PITCHES && turnedPitches <= POSITIONS.mostTurnedPitches) {
    return null;
  }
  const [view, tubes] = [match?.view ?? null, match?.tubes ?? null];
  const opened = { photo: shot.photo, movedPx: shiftPx, movedPitches, turnedPitches, view, tubes };
  return { opened, found };
}

/**
 * The session in parts, one a camera position: each begins with the even shot that opens it, has all dark shots, and the
 * shots listed up to the next one that opens.
 */
export function partsOf(session: Session, opened: readonly OpenedPosition[]): Session[] {
  if (opened.length === 0) return [session];
  const starts = opened.map(({ photo }) => session.shots.findIndex((shot) => shot.photo === photo));
  return [0, ...starts].map((from, part) => ({
    ...session,
    shots: session.shots.filter(
      (shot, n) => shot.kind === 'dark' || (n >= from && n < (starts[part] ?? session.shots.length)),
    ),
  }));
}

/** Light as the first position's photos would show it: a nearer camera paints a cell over more pixels. */
function asInFirst(light: CellLight, scale: Float64Array, tubes: Int32Array | null): CellLight {
  const from = (k: number) => (tubes ? tubes[k]! : k);
  return {
    flux: light.flux.map((_, k) => light.flux[from(k)]! * scale[from(k)]!),
    sigma: light.sigma.map((_, k) => light.sigma[from(k)]! * scale[from(k)]!),
    clipped: light.clipped.map((_, k) => light.clipped[from(k)]!),
  };
}

/**
 * One survey from those of all camera positions, in the first one's terms.
 *
 * @param session - as a whole
 * @param surveys - one a position
 * @param opened - what opens each but the first
 */
export function mergedSurveys(
  session: Session,
  surveys: readonly Survey[],
  opened: readonly OpenedPosition[],
): Survey {
  const [first, ...later] = surveys as [Survey, ...Survey[]];
  if (later.length === 0) return first;
  const lit = [...first.lit];
  const bare = [...first.bare];
  const moves: Finding[] = [];
  for (const [n, { photo, movedPx, movedPitches, turnedPitches, view, tubes }] of opened.entries()) {
    const survey = later[n]!;
    const areaOf = ({ cells: { area, unit } }: Survey, k: number) => area[k]! / unit ** 2;
    const scale = Float64Array.from(
      survey.u,
      (_, k) => areaOf(first, tubes ? tubes.indexOf(k) : k) / areaOf(survey, k),
    );
    for (const { shot, light } of survey.lit) lit.push({ shot, light: asInFirst(light, scale, tubes) });
    for (const { level, sigma } of survey.bare) {
      const moved = (values: Float64Array) => values.map((_, k) => values[tubes ? tubes[k]! : k]!);
      bare.push({ level: moved(level), sigma: moved(sigma) });
    }
    const turned = view === null ? null : view.turnedDeg;
    moves.push(
      finding('camera-moved', photo, {
        movedPx,
        movedPitches,
        turnedPitches,
        arrayTurnedDeg: turned,
        arrayMirrored: view?.mirrored ?? false,
      }),
    );
  }
  const records = new Map(surveys.flatMap(({ photos }) => photos.map((one) => [one.photo, one] as const)));
  const findings = new Map(
    surveys.flatMap((survey) => survey.findings.map((one) => [JSON.stringify(one), one] as const)),
  );
  return {
    ...first,
    lit,
    bare,
    comparable: surveys.every(({ comparable }) => comparable),
    unexposed: new Set(surveys.flatMap(({ unexposed }) => [...unexposed])),
    photos: session.shots.flatMap(({ photo }) => records.get(photo) ?? []),
    findings: [...moves, ...findings.values()],
  };
}
