import { NEIGHBOUR_PITCHES, neighbourFinder, nextSide, triangulate } from '@twolamp/numeric';
import { AGREE_PITCHES, INNER_VOTES, RIM_VOTES, ROOM_PITCHES, TAKEN_PITCHES } from './tuning.js';

/** A place in pitches. */
export interface DarkPlace {
  readonly u: number;
  readonly v: number;
}

/** A cluster of dark tubes is filled from its rim inwards; larger ones than this are no cluster but a hole. */
const MOST_ROUNDS = 6;

/**
 * Places between the tubes where one more has room and shows no light: blocked tubes, as far as anything can tell.
 *
 * Each tube that has neighbours expects more of them a sixth of a turn aside. Where the expectations of several tubes agree
 * and there is room, a dark tube lies. Outside the bundle a tube must be surrounded on nearly all sides.
 *
 * @param u - places of the tubes that show light, pitches
 * @param v - likewise
 */
export function darkPlaces(u: ArrayLike<number>, v: ArrayLike<number>): DarkPlace[] {
  const [allU, allV] = [Array.from(u), Array.from(v)];
  const isInside = insideOf(allU, allV);
  const dark: DarkPlace[] = [];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { neighbours } = triangulate(allU, allV, NEIGHBOUR_PITCHES);
    const found = agreed(expectations(allU, allV, neighbours))
      .filter(({ u, v, voters }) => voters >= (isInside(u, v) ? INNER_VOTES : RIM_VOTES))
      .sort((a, b) => b.voters - a.voters);
    const before = dark.length;
    for (const place of found) {
      const { u, v, room } = roomiest(place, allU, allV);
      if (room < ROOM_PITCHES) continue;
      allU.push(u);
      allV.push(v);
      dark.push({ u, v });
    }
    if (dark.length === before) break;
  }
  return dark;
}

/** Steps by which a place is pushed to where tubes leave most room. */
const PUSHES = 30;

/** The place near one that keeps a pitch from all tubes, as far as it can, and how far it stays from the nearest. */
function roomiest(
  from: DarkPlace,
  u: readonly number[],
  v: readonly number[],
): DarkPlace & { readonly room: number } {
  const near = Array.from(u.keys()).filter((k) => Math.hypot(u[k] - from.u, v[k] - from.v) < 2);
  let place = from;
  const distances = () => near.map((k) => Math.hypot(place.u - u[k], place.v - v[k]));
  for (let push = 0; push < PUSHES; push++) {
    let [du, dv] = [0, 0];
    distances().forEach((distance, n) => {
      const by = Math.max(0, 1 - distance) / (2 * Math.max(distance, 1e-6));
      du += by * (place.u - u[near[n]]);
      dv += by * (place.v - v[near[n]]);
    });
    place = { u: place.u + du, v: place.v + dv };
  }
  return { ...place, room: Math.min(...distances()) };
}

interface Expectation extends DarkPlace {
  readonly by: number;
}

/** Where tubes expect further neighbours and have none. */
function expectations(
  u: readonly number[],
  v: readonly number[],
  neighbours: readonly (readonly number[])[],
): Expectation[] {
  const near = neighbourFinder(u, v);
  const expected: Expectation[] = [];
  neighbours.forEach((list, by) => {
    const around = near(by, NEIGHBOUR_PITCHES + 1);
    for (const other of list) {
      const [du, dv] = [u[other] - u[by], v[other] - v[by]];
      if (Math.hypot(du, dv) > 1.25) continue;
      for (const turn of [-Math.PI / 3, Math.PI / 3]) {
        const [c, s] = [Math.cos(turn), Math.sin(turn)];
        const place = { u: u[by] + c * du - s * dv, v: v[by] + s * du + c * dv, by };
        const taken = around.some(
          ({ index }) => Math.hypot(u[index] - place.u, v[index] - place.v) < TAKEN_PITCHES,
        );
        if (!taken) expected.push(place);
      }
    }
  });
  return expected;
}

interface Agreed extends DarkPlace {
  readonly voters: number;
}

/** Expectations that lie together: their mean, and how many tubes they come from. */
function agreed(expected: readonly Expectation[]): Agreed[] {
  if (expected.length === 0) return [];
  const near = neighbourFinder(
    expected.map(({ u }) => u),
    expected.map(({ v }) => v),
  );
  const groups = expected.map((_, n) => [n, ...near(n, AGREE_PITCHES).map(({ index }) => index)]);
  const votersOf = (group: readonly number[]) => new Set(group.map((n) => expected[n].by)).size;
  const order = Array.from(groups.keys()).sort((a, b) => votersOf(groups[b]) - votersOf(groups[a]));
  const taken = new Set<number>();
  return order.flatMap((n) => {
    if (taken.has(n)) return [];
    const group = groups[n].filter((member) => !taken.has(member));
    for (const member of group) taken.add(member);
    const mean = (of: (place: Expectation) => number) =>
      group.reduce((sum, member) => sum + of(expected[member]), 0) / group.length;
    return [{ u: mean(({ u }) => u), v: mean(({ v }) => v), voters: votersOf(group) }];
  });
}

/** Whether a place is enclosed by tubes: not in reach of the outside through gaps wide enough for a tube. */
function insideOf(u: readonly number[], v: readonly number[]): (u: number, v: number) => boolean {
  const { triangles, halfedges } = triangulate(u, v, NEIGHBOUR_PITCHES);
  const isDoor = (side: number) => {
    const [a, b] = [triangles[side], triangles[nextSide(side)]];
    return Math.hypot(u[a] - u[b], v[a] - v[b]) >= NEIGHBOUR_PITCHES;
  };
  const outside = new Set<number>();
  const open: number[] = [];
  const enter = (triangle: number) => {
    if (outside.has(triangle)) return;
    outside.add(triangle);
    open.push(triangle);
  };
  for (let side = 0; side < triangles.length; side++) {
    if (halfedges[side] < 0 && isDoor(side)) enter(Math.floor(side / 3));
  }
  for (let triangle = open.pop(); triangle !== undefined; triangle = open.pop()) {
    for (let side = 3 * triangle; side < 3 * triangle + 3; side++) {
      if (halfedges[side] >= 0 && isDoor(side)) enter(Math.floor(halfedges[side] / 3));
    }
  }
  const corners = (triangle: number) => [0, 1, 2].map((n) => triangles[3 * triangle + n]);
  const holds = (triangle: number, pu: number, pv: number) => {
    const [a, b, c] = corners(triangle);
    const turn = (from: number, to: number) =>
      (u[to] - u[from]) * (pv - v[from]) - (v[to] - v[from]) * (pu - u[from]);
    const turns = [turn(a, b), turn(b, c), turn(c, a)];
    return turns.every((one) => one >= 0) || turns.every((one) => one <= 0);
  };
  const inner = Array.from({ length: triangles.length / 3 }, (_, n) => n).filter((n) => !outside.has(n));
  return (pu, pv) => inner.some((triangle) => holds(triangle, pu, pv));
}
