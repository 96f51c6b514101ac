import { type ArrayGeometry, angularPitch, type Slopes } from '@twolamp/optics';
import type { LampView } from '../response/lamp-view.js';
import { median } from '../statistics/robust.js';

/** Cells this near, in pitches, count into the mean light about a place. */
const NEIGHBOURHOOD_PITCHES = 1.1;
/** Light this far around the brightest place, in pitches, counts into its centre of gravity. */
const CENTRE_PITCHES = 2.2;
/** What light counts there, against the brightest cell: the foot of the response reaches neighbours unevenly. */
const CENTRE_SHARE = 0.3;
/** A shot whose brightest cell stands less above its noise shows no lamp. */
const LEAST_SIGMAS = 10;

/**
 * Where the array really looks against where the tape measure takes it to look: the same for all shots.
 *
 * An array is set up square to the lamps by eye, and a degree off moves every lamp's image by more than its own width.
 * In each shot the place is sought at which the light about both lamps' images is greatest; the median over shots is
 * kept, so that lamps outside the array's sight and wrong readings don't count.
 *
 * @param views - shots of one lamp or two, as seen from the tubes
 * @returns slopes to take off the lamps' stated ones; 0 where no shot shows a lamp
 */
export function aimOfArray(array: ArrayGeometry, views: readonly LampView[]): Slopes {
  const found = views.flatMap((view) => lampsFound(array, view) ?? []);
  if (found.length === 0) return { across: 0, up: 0 };
  return {
    across: median(found.map((one) => one.across)),
    up: median(found.map((one) => one.up)),
  };
}

/** The same shots, with the lamps' slopes counted from where the array really looks. */
export function turnViews(views: readonly LampView[], aim: Slopes): LampView[] {
  return views.map((view) => ({
    ...view,
    lamps: view.lamps.map(({ slopes, falloff }) => ({
      falloff,
      slopes: slopes.map((slope, n) => slope - (n % 2 === 0 ? aim.across : aim.up)),
    })),
  }));
}

/** The slopes at which a shot's light lies, against where its lamps should stand; null where it shows no lamp. */
function lampsFound(array: ArrayGeometry, view: LampView): Slopes | null {
  const cells = Array.from(view.usable.keys()).filter((k) => view.usable[k]);
  const brightest = cells.reduce((most, k) => (view.light[k]! > view.light[most]! ? k : most), cells[0] ?? 0);
  if (!(view.light[brightest]! > LEAST_SIGMAS * view.noise[brightest]!)) return null;
  const pitch = angularPitch(array, view.shot.distanceMm);
  // Candidate: the turn that puts a lamp's image right on a cell.
  const candidates = cells.flatMap((k) =>
    view.lamps.map(({ slopes }) => ({ across: slopes[2 * k]!, up: slopes[2 * k + 1]! })),
  );
  const near = view.lamps.map(({ slopes }) => cellsNear(cells, slopes, 2 * CENTRE_PITCHES * pitch));
  const lightAbout = (turn: Slopes, reach: number, floor: number) =>
    view.lamps.map(({ slopes }, n) => {
      let [sum, count, across, up] = [0, 0, 0, 0];
      for (const k of near[n]!(turn)) {
        const x = slopes[2 * k]! - turn.across;
        const y = slopes[2 * k + 1]! - turn.up;
        if (x * x + y * y > (reach * pitch) ** 2) continue;
        const light = Math.max(0, view.light[k]! - floor);
        sum += light;
        count++;
        across += light * x;
        up += light * y;
      }
      return { mean: sum / Math.max(count, 1), across: across / (sum || 1), up: up / (sum || 1) };
    });
  const score = (turn: Slopes) =>
    lightAbout(turn, NEIGHBOURHOOD_PITCHES, 0).reduce((sum, { mean }) => sum + mean, 0);
  const best = candidates
    .map((turn) => ({ turn, score: score(turn) }))
    .reduce((most, one) => (one.score > most.score ? one : most)).turn;
  const centres = lightAbout(best, CENTRE_PITCHES, CENTRE_SHARE * view.light[brightest]!);
  return {
    across: best.across + centres.reduce((sum, { across }) => sum + across, 0) / centres.length,
    up: best.up + centres.reduce((sum, { up }) => sum + up, 0) / centres.length,
  };
}

/** Looks up the cells from which a lamp stands about the given slopes, by squares of the given side. */
function cellsNear(cells: readonly number[], slopes: Float64Array, side: number) {
  const squares = new Map<string, number[]>();
  const key = (x: number, y: number) => `${x},${y}`;
  for (const k of cells) {
    const name = key(Math.floor(slopes[2 * k]! / side), Math.floor(slopes[2 * k + 1]! / side));
    const square = squares.get(name);
    if (square) square.push(k);
    else squares.set(name, [k]);
  }
  return ({ across, up }: Slopes): number[] => {
    const [x, y] = [across / side, up / side].map(Math.floor);
    const steps = [-1, 0, 1];
    return steps.flatMap((dx) => steps.flatMap((dy) => squares.get(key(x! + dx, y! + dy)) ?? []));
  };
}
