import { median } from '@twolamp/numeric';
import { type CellsOnPicture, placedAt } from './cells-on-picture.js';
import { type Draft, type Frame, giveRoundBack, type Round, solveRound } from './learning-round.js';
import { ProfileEquations } from './profile-equations.js';
import type { Room } from './room.js';
import { COEFFICIENTS, KNOTS, normalised, ProfileBasis, type SpotProfile } from './spot-profile.js';
import { makeSlopes, type Stamps } from './stamps.js';
import { MOST_NOISE_PIXELS, NEXT_TO_HOLE_PITCHES, TOO_BRIGHT } from './tuning.js';

/** For stability: farthest step of a hole's and its neighbours' places in one round. */
const FARTHEST_HOLE_STEP_PITCHES = 0.05;

/** Hole and neighbours are moved by straight slopes: twice, the second time by little. */
const ROUNDS = 2;

/**
 * Spot profiles of the cells that are too bright to be tubes: the spot of an empty hole is wider than a tube's, and what
 * the tubes' profile doesn't hold of it would go to its neighbours, a hundredth of their light, and draw them aside.
 * Each is learned from its own cell, along with the neighbours' lights and places.
 *
 * @param draft - with the tubes' profiles
 * @param first - the draft's solution; given back where a better one is found
 * @returns the draft with the holes' profiles and places, and its solution
 */
export function fitOpenHoles(
  frame: Frame,
  draft: Draft,
  first: Round,
  room: Room,
): { draft: Draft; round: Round } {
  const holes = brighterThanAround(first, frame);
  let [holed, round] = [draft, first];
  for (let count = 0; count < ROUNDS && holes.length > 0; count++) {
    const own = new Map<number, SpotProfile>();
    const [x, y] = [holed.cells.x.slice(), holed.cells.y.slice()];
    for (const k of holes) {
      const { profile, moved } = learnHole(frame, holed, round, k);
      own.set(k, profile);
      for (const { cell, dx, dy } of moved) {
        x[cell] = holed.cells.x[cell] + dx;
        y[cell] = holed.cells.y[cell] + dy;
      }
    }
    holed = {
      cells: placedAt(holed.cells, x, y),
      profileOf: (k) => own.get(k) ?? draft.profileOf(k),
      wings: holed.wings,
      weights: holed.weights,
    };
    giveRoundBack(round, room);
    room.giveBack(round.weights);
    round = solveRound(frame, holed, MOST_NOISE_PIXELS, room);
  }
  return { draft: holed, round };
}

function brighterThanAround(
  { bright, solution: { flux } }: Round,
  { neighboursOf, filled }: Frame,
): number[] {
  return Array.from(flux.keys()).filter((k) => {
    if (filled[k] === 0) return false;
    const around = neighboursOf[k]
      .filter((other) => bright(other) && filled[other] === 1)
      .map((other) => flux[other]);
    return around.length > 0 && flux[k] > TOO_BRIGHT * median(around);
  });
}

interface LearnedHole {
  readonly profile: SpotProfile;
  /** Where hole and neighbours lie off their places, px. */
  readonly moved: readonly { readonly cell: number; readonly dx: number; readonly dy: number }[];
}

/**
 * A round profile and steps of the places, by the pixels of the cell's stamp.
 *
 * @param k - the hole
 */
function learnHole(
  { picture: { width }, neighboursOf }: Frame,
  { cells }: Draft,
  { solution: { flux, residual }, stamps, weights, bright }: Round,
  k: number,
): LearnedHole {
  const neighbours = neighboursOf[k].filter((other) => isNext(cells, k, other));
  const movable = [k, ...neighbours.filter(bright)];
  const slopesOf = makeSlopes(stamps);
  const slopes = movable.map((cell) => {
    const { byX, byY } = slopesOf(cell);
    return { byX: byX.slice(), byY: byY.slice() };
  });
  const equations = new ProfileEquations(1, neighbours.length + 2 * movable.length);
  const basis = new ProfileBasis();
  const [a, b, c, d] = cells.toPitch.subarray(4 * k, 4 * k + 4) as unknown as [
    number,
    number,
    number,
    number,
  ];
  const [right, down] = [cells.shade[2 * k], cells.shade[2 * k + 1]];
  for (let row = 0; row < stamps.height[k]; row++) {
    for (let column = 0; column < stamps.width[k]; column++) {
      const [x, y] = [stamps.left[k] + column, stamps.top[k] + row];
      const [dx, dy] = [x - cells.x[k], y - cells.y[k]];
      const at = y * width + x;
      if (!(weights[at] > 0 && basis.moveTo(a * dx + b * dy, c * dx + d * dy))) continue;
      equations.spot(basis, (flux[k] * (1 + right * dx + down * dy)) / cells.area[k]);
      let light = residual[at] + flux[k] * valueAt(stamps, stamps.values, stamps.start[k], k, x, y);
      neighbours.forEach((other, n) => {
        const value = valueAt(stamps, stamps.values, stamps.start[other], other, x, y);
        light += flux[other] * value;
        equations.other(n, value);
      });
      movable.forEach((cell, n) => {
        const { byX, byY } = slopes[n];
        const first = neighbours.length + 2 * n;
        equations.other(first, flux[cell] * valueAt(stamps, byX, 0, cell, x, y));
        equations.other(first + 1, flux[cell] * valueAt(stamps, byY, 0, cell, x, y));
      });
      equations.close(light, weights[at]);
    }
  }
  const solved = equations.solveSoftly(neighbours.length);
  const coefficients = new Float64Array(COEFFICIENTS);
  coefficients.set(solved.subarray(0, KNOTS));
  const furthest = FARTHEST_HOLE_STEP_PITCHES * cells.pitchPx;
  const step = (value: number) => Math.min(Math.max(value, -furthest), furthest);
  return {
    profile: normalised({ coefficients }).profile,
    moved: movable.map((cell, n) => {
      const first = KNOTS + neighbours.length + 2 * n;
      return { cell, dx: step(solved[first]), dy: step(solved[first + 1]) };
    }),
  };
}

/** Whether a cell lies right beside another, so that its stamp holds much of it. */
function isNext({ x, y, toPitch }: CellsOnPicture, k: number, other: number): boolean {
  const [dx, dy] = [x[other] - x[k], y[other] - y[k]];
  const p = toPitch[4 * k] * dx + toPitch[4 * k + 1] * dy;
  const q = toPitch[4 * k + 2] * dx + toPitch[4 * k + 3] * dy;
  return Math.hypot(p, q) < NEXT_TO_HOLE_PITCHES;
}

/** What a cell's rectangle holds at a pixel, 0 outside it. @param from - where the rectangle starts in `values` */
function valueAt(
  { left, top, width, height }: Stamps,
  values: Float32Array,
  from: number,
  cell: number,
  x: number,
  y: number,
): number {
  const [column, row] = [x - left[cell], y - top[cell]];
  if (column < 0 || row < 0 || column >= width[cell] || row >= height[cell]) return 0;
  return values[from + row * width[cell] + column];
}
