import type { PackedPlace, Random } from '@twolamp/optics';
import type { Packing } from './packing-format.js';

/** A tube's middle and diameter, in nominal diameters. */
interface Disc {
  x: number;
  y: number;
  readonly diameter: number;
}

const ROW_STEP = Math.sqrt(3) / 2;
/** The stack is made so much larger than the outline, in the outline's size, that disorder at its rim is cut off. */
const OVERSIZE = 1.2;
const RELAXATIONS = 300;
/** Discs of a turned patch that overlap others by more than this are taken out, nominal diameters. */
const MOST_OVERLAP = 0.2;
/** A hole takes one more tube where it is at least this far from all middles. */
const FITS = 0.96;
const FILL_STEP = 0.12;

/**
 * Middles of tubes stacked in a box or a ring: hexagonal order with breaks (patches that lie turned), slips (rows slid past
 * each other) and gaps, of tubes whose diameters differ a little. No two overlap by more than a hundredth of a diameter.
 *
 * @param tubes - how many
 * @param diameterMm - nominal outer diameter
 */
export function stackTubes(
  tubes: number,
  diameterMm: number,
  packing: Packing,
  random: Random,
): PackedPlace[] {
  const level = levelOf(packing);
  const size = Math.sqrt((tubes * ROW_STEP) / (packing.outline === 'ring' ? Math.PI : 4));
  const discs = perfectStack(OVERSIZE * size + 4, level, packing, random);
  const somewhere = (): { x: number; y: number } => {
    for (;;) {
      const place = {
        x: size * (2 * random.uniform() - 1) * 1.2,
        y: size * (2 * random.uniform() - 1) * 1.2,
      };
      if (level(place) < 0.8 * size) return place;
    }
  };
  const direction = () => ((packing.turn + 60 * Math.floor(3 * random.uniform())) * Math.PI) / 180;
  for (let n = 0; n < packing.slips; n++) slip(discs, somewhere(), direction(), 0.2 + 0.3 * random.uniform());
  for (let n = 0; n < packing.gaps; n++) {
    open(discs, somewhere(), direction(), 0.3 + 0.4 * random.uniform(), 4 + 6 * random.uniform());
  }
  let stack = discs;
  for (let n = 0; n < packing.breaks; n++) {
    stack = turnPatch(stack, somewhere(), 2.5 + 2.5 * random.uniform(), 0.2 + 0.3 * random.uniform());
  }
  relax(stack);
  for (const { x, y } of holesOf(stack, level, size)) stack.push({ x, y, diameter: 1 });
  relax(stack);
  const chosen = stack.sort((a, b) => level(a) - level(b)).slice(0, tubes);
  const middle = (of: (disc: Disc) => number) =>
    chosen.reduce((sum, disc) => sum + of(disc), 0) / chosen.length;
  const [mx, my] = [middle(({ x }) => x), middle(({ y }) => y)];
  return chosen
    .sort((a, b) => b.y - a.y)
    .map(({ x, y }) => ({ acrossMm: (x - mx) * diameterMm, upMm: (y - my) * diameterMm }));
}

/** How far out a place lies: the radius of the ring, or half the height of the box, that goes through it. */
function levelOf({ outline, aspect }: Packing): (place: { x: number; y: number }) => number {
  const root = Math.sqrt(aspect);
  return outline === 'ring'
    ? ({ x, y }) => Math.hypot(x, y)
    : ({ x, y }) => Math.max(Math.abs(x) / root, Math.abs(y) * root);
}

function perfectStack(
  reach: number,
  level: ReturnType<typeof levelOf>,
  packing: Packing,
  random: Random,
): Disc[] {
  const turn = (packing.turn * Math.PI) / 180;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const most = Math.ceil(2 * reach);
  const discs: Disc[] = [];
  for (let row = -most; row <= most; row++) {
    for (let column = -most; column <= most; column++) {
      const [px, py] = [column + (row % 2 === 0 ? 0 : 0.5), row * ROW_STEP];
      const place = { x: c * px - s * py, y: s * px + c * py };
      if (level(place) >= reach) continue;
      discs.push({ ...place, diameter: 1 + packing['diameter-scatter'] * random.normal() });
    }
  }
  return discs;
}

/** Slides all discs on one side of a row along it; they climb on the tubes below. */
function slip(discs: Disc[], at: { x: number; y: number }, direction: number, by: number): void {
  const [c, s] = [Math.cos(direction), Math.sin(direction)];
  const climb = Math.sqrt(1 - (0.5 - by) ** 2) - ROW_STEP;
  for (const disc of discs) {
    if ((disc.y - at.y) * c - (disc.x - at.x) * s <= 0) continue;
    disc.x += by * c - climb * s;
    disc.y += by * s + climb * c;
  }
}

/** Opens a gap along a row: widest in its middle, closed at its ends. */
function open(
  discs: Disc[],
  at: { x: number; y: number },
  direction: number,
  width: number,
  half: number,
): void {
  const [c, s] = [Math.cos(direction), Math.sin(direction)];
  for (const disc of discs) {
    const along = ((disc.x - at.x) * c + (disc.y - at.y) * s) / half;
    const aside = (disc.y - at.y) * c - (disc.x - at.x) * s;
    if (aside <= 0 || Math.abs(along) >= 1) continue;
    disc.x -= s * width * (1 - along * along);
    disc.y += c * width * (1 - along * along);
  }
}

/** Turns the discs around a place, and takes out those that then have no room. */
function turnPatch(
  discs: readonly Disc[],
  at: { x: number; y: number },
  radius: number,
  turn: number,
): Disc[] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const isIn = ({ x, y }: Disc) => Math.hypot(x - at.x, y - at.y) < radius;
  const still = discs.filter((disc) => !isIn(disc));
  const turned = discs.filter(isIn).map((disc) => {
    const [dx, dy] = [disc.x - at.x, disc.y - at.y];
    return { ...disc, x: at.x + c * dx - s * dy, y: at.y + s * dx + c * dy };
  });
  const rim = still.filter(({ x, y }) => Math.hypot(x - at.x, y - at.y) < radius + 2);
  const fitting = turned.filter((disc) =>
    rim.every((other) => Math.hypot(other.x - disc.x, other.y - disc.y) > 1 - MOST_OVERLAP),
  );
  return [...still, ...fitting];
}

/** Discs by squares of one nominal diameter, to look up which lie near. */
function nearOnes(discs: readonly Disc[]): (x: number, y: number) => number[] {
  const squares = new Map<string, number[]>();
  const keyOf = (x: number, y: number) => `${Math.floor(x)},${Math.floor(y)}`;
  discs.forEach(({ x, y }, n) => {
    const key = keyOf(x, y);
    const square = squares.get(key);
    if (square) square.push(n);
    else squares.set(key, [n]);
  });
  return (x, y) => {
    const found: number[] = [];
    for (const dy of [-1, 0, 1]) {
      for (const dx of [-1, 0, 1]) found.push(...(squares.get(keyOf(x + dx, y + dy)) ?? []));
    }
    return found;
  };
}

/** Pushes overlapping discs apart, little by little. */
function relax(discs: Disc[]): void {
  let pairs: [Disc, Disc][] = [];
  for (let round = 0; round < RELAXATIONS; round++) {
    if (round % 20 === 0) {
      const near = nearOnes(discs);
      pairs = discs.flatMap((disc, n) =>
        near(disc.x, disc.y)
          .filter((other) => other > n && Math.hypot(discs[other].x - disc.x, discs[other].y - disc.y) < 1.3)
          .map((other): [Disc, Disc] => [disc, discs[other]]),
      );
    }
    for (const [a, b] of pairs) {
      const [dx, dy] = [b.x - a.x, b.y - a.y];
      const distance = Math.hypot(dx, dy);
      const overlap = (a.diameter + b.diameter) / 2 - distance;
      if (overlap <= 0) continue;
      const push = (0.4 * overlap) / Math.max(distance, 1e-6);
      a.x -= push * dx;
      a.y -= push * dy;
      b.x += push * dx;
      b.y += push * dy;
    }
  }
}

/** Places inside the outline where one more tube has room: a builder would have put one there. */
function holesOf(discs: readonly Disc[], level: ReturnType<typeof levelOf>, size: number) {
  const half = Math.ceil((1.5 * size) / FILL_STEP);
  const side = 2 * half + 1;
  const covered = new Uint8Array(side * side);
  const cover = ({ x, y }: { x: number; y: number }) => {
    const reach = Math.ceil(FITS / FILL_STEP);
    const [column, row] = [Math.round(x / FILL_STEP) + half, Math.round(y / FILL_STEP) + half];
    for (let r = Math.max(0, row - reach); r <= Math.min(side - 1, row + reach); r++) {
      for (let c = Math.max(0, column - reach); c <= Math.min(side - 1, column + reach); c++) {
        if (Math.hypot((c - half) * FILL_STEP - x, (r - half) * FILL_STEP - y) < FITS)
          covered[r * side + c] = 1;
      }
    }
  };
  discs.forEach(cover);
  const holes: { x: number; y: number }[] = [];
  covered.forEach((_, at) => {
    const place = { x: ((at % side) - half) * FILL_STEP, y: (Math.floor(at / side) - half) * FILL_STEP };
    if (covered[at] || level(place) > size) return;
    holes.push(place);
    cover(place);
  });
  return holes;
}
