import { fitRobustSurface, neighbourFinder } from '@twolamp/numeric';
import type { CellResult, Result } from '@twolamp/session';
import { PACKED } from './tuning.js';

/** Two packed arrays laid onto each other. */
export interface PackedMatch {
  /** Indices of the cells of each result that are the same tube. */
  readonly pairs: readonly (readonly [earlier: number, later: number])[];
  /** By how much the later photo shows the array turned, counter-clockwise, deg. */
  readonly turnedDeg: number;
  /** Correlation of the tubes' relative transmission; NaN where too few are known. */
  readonly alike: number;
}

interface Places {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** A turn with a shift: later = turn · earlier + shift, in pitches. */
interface Pose {
  readonly turn: number;
  readonly dx: number;
  readonly dy: number;
}

const placesOf = ({ cells, array }: Result): Places => ({
  x: Float64Array.from(cells, ({ atMm }) => atMm.across / array.backPitchMm),
  y: Float64Array.from(cells, ({ atMm }) => atMm.up / array.backPitchMm),
});

/** Looks up the nearest of some places. */
function nearestOf({ x, y }: Places): (px: number, py: number, within: number) => number {
  const squares = new Map<number, number[]>();
  const keyOf = (column: number, row: number) => column * 4096 + row;
  x.forEach((px, k) => {
    const key = keyOf(Math.floor(px), Math.floor(y[k]!));
    squares.set(key, [...(squares.get(key) ?? []), k]);
  });
  return (px, py, within) => {
    let [best, least] = [-1, within];
    const [column, row] = [Math.floor(px), Math.floor(py)];
    for (let c = column - 1; c <= column + 1; c++) {
      for (let r = row - 1; r <= row + 1; r++) {
        for (const k of squares.get(keyOf(c, r)) ?? []) {
          const distance = Math.hypot(x[k]! - px, y[k]! - py);
          if (distance < least) [best, least] = [k, distance];
        }
      }
    }
    return best;
  };
}

type Nearest = ReturnType<typeof nearestOf>;

function posed({ x, y }: Places, { turn, dx, dy }: Pose, k: number): readonly [number, number] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return [c * x[k]! - s * y[k]! + dx, s * x[k]! + c * y[k]! + dy];
}

/** Share of some tubes that find a partner. */
function fitOf(from: Places, some: readonly number[], pose: Pose, nearest: Nearest, within: number): number {
  return some.filter((k) => nearest(...posed(from, pose, k), within) >= 0).length / some.length;
}

/** How close some tubes come to partners, 0 to 1 on average: highest where they lie on each other. */
function closenessOf(
  from: Places,
  to: Places,
  some: readonly number[],
  pose: Pose,
  nearest: Nearest,
): number {
  const reach = PACKED.partnerPitches;
  return (
    some.reduce((sum, k) => {
      const [x, y] = posed(from, pose, k);
      const other = nearest(x, y, reach);
      return other < 0 ? sum : sum + 1 - (Math.hypot(to.x[other]! - x, to.y[other]! - y) / reach) ** 2;
    }, 0) / some.length
  );
}

/** The pose that lays partners onto each other best, and the partners that it brings; round after round. */
function refined(from: Places, to: Places, start: Pose, nearest: Nearest): Pose {
  let pose = start;
  for (let round = 0; round < PACKED.rounds; round++) {
    let [n, ax, ay, bx, by, dot, cross] = [0, 0, 0, 0, 0, 0, 0];
    const pairs: [number, number][] = [];
    for (let k = 0; k < from.x.length; k++) {
      const other = nearest(...posed(from, pose, k), PACKED.partnerPitches);
      if (other >= 0) pairs.push([k, other]);
    }
    if (pairs.length < 3) return pose;
    for (const [k, other] of pairs) {
      n++;
      ax += from.x[k]!;
      ay += from.y[k]!;
      bx += to.x[other]!;
      by += to.y[other]!;
    }
    [ax, ay, bx, by] = [ax / n, ay / n, bx / n, by / n];
    for (const [k, other] of pairs) {
      const [x, y] = [from.x[k]! - ax, from.y[k]! - ay];
      const [p, q] = [to.x[other]! - bx, to.y[other]! - by];
      dot += x * p + y * q;
      cross += x * q - y * p;
    }
    const turn = Math.atan2(cross, dot);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    pose = { turn, dx: bx - c * ax + s * ay, dy: by - s * ax - c * ay };
  }
  return pose;
}

/** Tubes that are each other's nearest, after what a smooth bend of the photo leaves of their distance was taken out. */
function partners(from: Places, to: Places, pose: Pose, nearest: Nearest): [number, number][] {
  const at = Array.from(from.x, (_, k) => posed(from, pose, k));
  const first = at.map(([x, y]) => nearest(x, y, PACKED.partnerPitches));
  const [x, y] = [at.map(([px]) => px), at.map(([, py]) => py)];
  const left = (axis: 0 | 1, of: Float64Array) =>
    first.map((other, k) => (other < 0 ? Number.NaN : of[other]! - at[k]![axis]));
  const bendX = fitRobustSurface(x, y, left(0, to.x), PACKED.bendDegree);
  const bendY = fitRobustSurface(x, y, left(1, to.y), PACKED.bendDegree);
  const moved = at.map(([px, py]): [number, number] => [px + bendX.at(px, py), py + bendY.at(px, py)]);
  const back = nearestOf({
    x: Float64Array.from(moved, ([px]) => px),
    y: Float64Array.from(moved, ([, py]) => py),
  });
  return moved.flatMap(([px, py], k): [number, number][] => {
    const other = nearest(px, py, PACKED.samePitches);
    return other >= 0 && back(to.x[other]!, to.y[other]!, PACKED.samePitches) === k ? [[k, other]] : [];
  });
}

/** Correlation of the logarithms of the pairs' relative transmissions. */
function alikeness(
  earlier: readonly CellResult[],
  later: readonly CellResult[],
  pairs: readonly (readonly [number, number])[],
): number {
  const light = ({ transmission }: CellResult) =>
    Math.log(Math.max(transmission.relative ?? Number.NaN, 0.05));
  const values = pairs
    .map(([a, b]) => [light(earlier[a]!), light(later[b]!)] as const)
    .filter(([a, b]) => Number.isFinite(a) && Number.isFinite(b));
  if (values.length < PACKED.leastAlike) return Number.NaN;
  const mean = (n: 0 | 1) => values.reduce((sum, one) => sum + one[n], 0) / values.length;
  const [ma, mb] = [mean(0), mean(1)];
  let [ab, aa, bb] = [0, 0, 0];
  for (const [a, b] of values) {
    ab += (a - ma) * (b - mb);
    aa += (a - ma) ** 2;
    bb += (b - mb) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
}

/**
 * Lays a later packed array onto an earlier one: by the places of the tubes for all turns and small shifts, then, since a
 * well-ordered stack fits onto itself after a sixth of a turn, by the tubes' light, which is the array's fingerprint.
 *
 * @returns null where no turn fits clearly better than the others
 */
export function matchPacked(earlier: Result, later: Result): PackedMatch | null {
  const [from, to] = [placesOf(earlier), placesOf(later)];
  const nearest = nearestOf(to);
  const radius = Math.max(...from.x.map((x, k) => Math.hypot(x, from.y[k]!)), 1);
  const every = Math.max(1, Math.floor(from.x.length / PACKED.sample));
  const some = Array.from(from.x.keys()).filter((k) => k % every === 0);
  const turns = Math.ceil((2 * Math.PI * radius) / PACKED.turnStepPitches);
  const coarse = Array.from({ length: turns }, (_, n) => {
    const pose = { turn: (2 * Math.PI * n) / turns, dx: 0, dy: 0 };
    return { pose, fit: closenessOf(from, to, some, pose, nearest) };
  });
  // Turns that fit better than those beside them: a stack in good order has six, each with good ones around.
  const peaks = coarse
    .filter(({ fit }, n) => fit >= coarse.at(n - 1)!.fit && fit >= coarse[(n + 1) % turns]!.fit)
    .sort((a, b) => b.fit - a.fit);
  const starts = peaks
    .slice(0, PACKED.starts)
    .flatMap(({ pose }) => shiftsAround(from).map(([dx, dy]) => ({ ...pose, dx, dy })));
  const poses = starts.map((start) => refined(from, to, start, nearest));
  const ranked = poses
    .map((pose) => ({ pose, fit: fitOf(from, some, pose, nearest, PACKED.samePitches) }))
    .sort((a, b) => b.fit - a.fit);
  const candidates: PackedMatch[] = [];
  const tried: Pose[] = [];
  for (const { pose, fit } of ranked) {
    if (fit < PACKED.leastFit || candidates.length === PACKED.candidates) break;
    if (tried.some((other) => isSame(other, pose, radius))) continue;
    tried.push(pose);
    const pairs = partners(from, to, pose, nearest);
    const alike = alikeness(earlier.cells, later.cells, pairs);
    candidates.push({ pairs, alike, turnedDeg: (pose.turn * 180) / Math.PI });
  }
  const scoreOf = ({ pairs, alike }: PackedMatch) => pairs.length / from.x.length + (alike || 0);
  const [best, second] = candidates.sort((a, b) => scoreOf(b) - scoreOf(a));
  if (!best) return null;
  return second && scoreOf(best) - scoreOf(second) < PACKED.leastLead ? null : best;
}

/** No shift, and one to each place around: the middle of all tubes moves where some are found in one session only. */
function shiftsAround({ x, y }: Places): [number, number][] {
  const middle = Array.from(x.keys()).reduce(
    (best, k) => (Math.hypot(x[k]!, y[k]!) < Math.hypot(x[best]!, y[best]!) ? k : best),
    0,
  );
  const around = neighbourFinder(x, y)(middle, PACKED.aroundPitches);
  return [
    [0, 0],
    ...around.map(({ index }): [number, number] => [x[index]! - x[middle]!, y[index]! - y[middle]!]),
  ];
}

function isSame(a: Pose, b: Pose, radius: number): boolean {
  const turn = Math.abs(Math.atan2(Math.sin(a.turn - b.turn), Math.cos(a.turn - b.turn)));
  return Math.hypot(a.dx - b.dx, a.dy - b.dy) + turn * radius < PACKED.samePosePitches;
}
