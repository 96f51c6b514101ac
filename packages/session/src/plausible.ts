/**
 * What a quantity can be (outside: refused) and what it usually is (outside: asked, not refused), with the reason.
 *
 * The reasons are judgements about hand-built arrays on a kitchen table, not measurements: common practice, no source.
 */
export interface PlausibleRange {
  /** The quantity, as a phrase with its article. */
  readonly what: string;
  readonly unit: 'mm' | 's' | 'deg' | '';
  readonly possible: readonly [low: number, high: number];
  readonly usual: readonly [low: number, high: number];
  readonly because: string;
}

const METRE = 1000;
const KILOMETRE = 1e6;
const DAY_S = 86_400;

/**
 * One table for session, plans, results, evidence and the command line. Lengths in mm, times in s, angles in degrees.
 */
export const PLAUSIBLE = {
  tubes: {
    what: 'a number of tubes along one side',
    unit: '',
    possible: [2, 500],
    usual: [4, 200],
    because: 'fewer show no pattern, and more than some thousand tubes nobody places by hand',
  },
  anyLengthMm: {
    what: 'a length',
    unit: 'mm',
    possible: [-KILOMETRE, KILOMETRE],
    usual: [-KILOMETRE, KILOMETRE],
    because: 'nothing on a bench is longer than 1 km',
  },
  tubeBoreMm: {
    what: 'a tube bore',
    unit: 'mm',
    possible: [0.1, 50],
    usual: [0.5, 15],
    because: 'narrower bores pass next to no light, and wider ones show no picture',
  },
  tubeLengthMm: {
    what: 'a tube length',
    unit: 'mm',
    possible: [5, 5 * METRE],
    usual: [30, METRE],
    because: 'shorter tubes do not aim, and longer ones neither stand straight nor pass light',
  },
  pitchMm: {
    what: 'a pitch',
    unit: 'mm',
    possible: [0.1, 200],
    usual: [0.8, 50],
    because: 'tubes of 0.1 to 50 mm bore lie that far apart',
  },
  lampDistanceMm: {
    what: 'a distance from the front face',
    unit: 'mm',
    possible: [5, KILOMETRE],
    usual: [100, 50 * METRE],
    because: 'a nearer lamp stands in the tubes, and a small lamp farther away than 1 km lights no sheet',
  },
  lampSpacingMm: {
    what: 'a spacing of two lamps',
    unit: 'mm',
    possible: [0.5, 100 * METRE],
    usual: [5, 3 * METRE],
    because: 'middles of two lamps can be no nearer, and a tape measure reaches no farther',
  },
  lampOffsetMm: {
    what: 'a place beside the middle',
    unit: 'mm',
    possible: [-KILOMETRE, KILOMETRE],
    usual: [-50 * METRE, 50 * METRE],
    because: 'lamps stand in front of the array',
  },
  lampDiameterMm: {
    what: 'a lamp diameter',
    unit: 'mm',
    possible: [0, METRE],
    usual: [0, 100],
    because: 'the part of a small lamp that shines is meant; 0 is a point',
  },
  turnedDeg: {
    what: 'an angle',
    unit: 'deg',
    possible: [-360, 360],
    usual: [-180, 180],
    because: 'a full turn is 360 deg',
  },
  exposureS: {
    what: 'an exposure time',
    unit: 's',
    possible: [1e-6, DAY_S],
    usual: [1e-4, 120],
    because: 'no shutter is faster than a microsecond, and no camera exposes longer than a day',
  },
  iso: {
    what: 'an ISO speed',
    unit: '',
    possible: [1, 10_000_000],
    usual: [20, 102_400],
    because: 'cameras offer about 6 to 4 million',
  },
  aperture: {
    what: 'an f-number',
    unit: '',
    possible: [0.5, 1000],
    usual: [0.9, 45],
    because: 'lenses in air cannot be faster than f/0.5, and pinholes reach some hundreds',
  },
  sceneMm: {
    what: 'a size or distance of a scene',
    unit: 'mm',
    possible: [1, 1000 * KILOMETRE],
    usual: [20, 20 * KILOMETRE],
    because: 'from a thumbnail in front of the tubes to a mountain range',
  },
} as const satisfies Record<string, PlausibleRange>;

/** A quantity of the table. */
export type Quantity = keyof typeof PLAUSIBLE;

/** Whether a value is possible at all; NaN and infinities are not. */
export function isPossible(quantity: Quantity, value: number): boolean {
  const [low, high] = PLAUSIBLE[quantity].possible;
  return value >= low && value <= high;
}

/** Whether a value is what is usually met. */
export function isUsual(quantity: Quantity, value: number): boolean {
  const [low, high] = PLAUSIBLE[quantity].usual;
  return value >= low && value <= high;
}

/** A value of a quantity with its unit, as a person would write it: 2.5 mm, 1.2 m, 0.125 s. */
export function inItsUnit(quantity: Quantity, value: number): string {
  const short = (number: number) => String(Number(number.toPrecision(6)));
  const { unit } = PLAUSIBLE[quantity];
  if (unit !== 'mm') return `${short(value)}${unit === '' ? '' : ` ${unit}`}`;
  const size = Math.abs(value);
  return size >= METRE ? `${short(value / METRE)} m` : `${short(value)} mm`;
}

/** “a tube bore from 0.1 mm to 50 mm (narrower ones …)”. */
export function possibleInWords(quantity: Quantity): string {
  const { what, possible, because } = PLAUSIBLE[quantity];
  const [low, high] = possible.map((value) => inItsUnit(quantity, value));
  return `${what} from ${low} to ${high} (${because})`;
}

/** “usually 0.5 mm to 15 mm”. */
export function usualInWords(quantity: Quantity): string {
  const [low, high] = PLAUSIBLE[quantity].usual.map((value) => inItsUnit(quantity, value));
  return `usually ${low} to ${high}`;
}
