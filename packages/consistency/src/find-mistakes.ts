import { DOUBTED_LENGTHS } from '@twolamp/session';
import {
  applies,
  type Hypothesis,
  isPlausible,
  kindsOf,
  lengthPenalty,
  type Mistake,
  NAMES,
  offset,
  PART_FIELDS,
  PITCH_FIELDS,
  orderMistakes,
  scaled,
  type ShotField,
  signMistakes,
  swapMistakes,
  unitMistakes,
} from './hypotheses.js';
import type { Reading } from './readings.js';
import {
  AS_STATED,
  type Circumstances,
  type Scatter,
  type Score,
  scatterOf,
  scoreStatement,
} from './score.js';
import { type Statement, withPlaces } from './statement.js';
import { MISTAKES, SEARCH } from './tuning.js';
import { type UnnoticedErrors, unnoticedErrors } from './unnoticed.js';

/** A mistake that the photos show, and what else would explain them nearly as well. */
export interface FoundMistake {
  readonly mistake: Mistake;
  /** By how much the cost falls, the mistake's own unlikeliness taken off. */
  readonly gain: number;
  /** Standard uncertainty of the mistake's free number: of a factor's logarithm, of mm; 0 where it has none. */
  readonly sigma: number;
  /** Statement to which the mistake applies. */
  readonly before: Statement;
  readonly rivals: readonly Mistake[];
}

export interface Found {
  readonly mistakes: readonly FoundMistake[];
  /** The statement without them. */
  readonly corrected: Statement;
  /** Shots that still don't fit. */
  readonly misfits: readonly number[];
  /** Errors of all distances that would not have been noticed. */
  readonly unnoticed: UnnoticedErrors;
}

interface Candidate extends Hypothesis {
  readonly cost: number;
  readonly sigma: number;
}

/** Costs of a statement: in full, and at a first look, by fewer shots. */
interface Costs {
  readonly full: (statement: Statement) => number;
  readonly first: (statement: Statement) => number;
}

/** A family of statements along one number. */
interface Family {
  readonly grid: readonly number[];
  readonly statementAt: (x: number) => Statement | null;
  readonly penaltyAt: (x: number) => number;
  readonly mistakeAt: (x: number) => Mistake;
}

/** Golden section between two ends, and the uncertainty of the minimum from the curvature there. */
function refine(costAt: (x: number) => number, low: number, high: number, width: number) {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [high - ratio * (high - low), low + ratio * (high - low)];
  let [costA, costB] = [costAt(a), costAt(b)];
  for (let step = 0; step < SEARCH.steps; step++) {
    if (costA < costB) {
      [high, b, costB] = [b, a, costA];
      a = high - ratio * (high - low);
      costA = costAt(a);
    } else {
      [low, a, costA] = [a, b, costB];
      b = low + ratio * (high - low);
      costB = costAt(b);
    }
  }
  const [x, cost] = costA < costB ? [a, costA] : [b, costB];
  const step = Math.max(high - low, SEARCH.curvatureShare * width);
  const curvature = (costAt(x + step) + costAt(x - step) - 2 * cost) / step ** 2;
  return { x, cost, sigma: curvature > 0 ? Math.sqrt(2 / curvature) : step };
}

/** The best of each family, where a first look finds it not hopeless. */
function bestOf(families: readonly Family[], costs: Costs, leastElsewhere: number): Candidate[] {
  const looks = families.map(({ grid, statementAt, penaltyAt }) => {
    const values = grid.map((x) => {
      const statement = statementAt(x);
      return statement ? costs.first(statement) + penaltyAt(x) : Infinity;
    });
    const at = values.reduce((best, cost, n) => (cost < values[best]! ? n : best), 0);
    return { at, cost: values[at]! };
  });
  const least = Math.min(leastElsewhere, ...looks.map(({ cost }) => cost));
  return families.flatMap(({ grid, statementAt, penaltyAt, mistakeAt }, n) => {
    const { at, cost } = looks[n]!;
    if (!(cost < least + SEARCH.firstLook.margin)) return [];
    const width = grid[1]! - grid[0]!;
    const costAt = (x: number) => {
      const statement = statementAt(x);
      return statement ? costs.full(statement) + penaltyAt(x) : Number.MAX_VALUE;
    };
    const best = refine(costAt, grid[at]! - width, grid[at]! + width, width);
    const statement = statementAt(best.x);
    if (!statement) return [];
    return [
      {
        mistake: mistakeAt(best.x),
        statement,
        penalty: penaltyAt(best.x),
        cost: best.cost,
        sigma: best.sigma,
      },
    ];
  });
}

function lengthFamilies(statement: Statement): Family[] {
  return DOUBTED_LENGTHS.filter((field) => applies(field, statement)).map((field) => ({
    grid: PITCH_FIELDS.has(field) ? SEARCH.pitchLnGrid : SEARCH.lnGrid,
    statementAt: (ln) => {
      const changed = scaled(statement, field, Math.exp(ln));
      return isPlausible(changed) ? changed : null;
    },
    penaltyAt: (ln) => lengthPenalty(ln) + (PART_FIELDS.has(field) ? MISTAKES.penalty.oneKind : 0),
    mistakeAt: (ln) => ({ is: 'length', field, factor: Math.exp(ln) }),
  }));
}

function offsetFamilies(statement: Statement): Family[] {
  return kindsOf(statement).map((kinds) => ({
    grid: SEARCH.offsetGridMm,
    statementAt: (offsetMm) => offset(statement, kinds, offsetMm),
    penaltyAt: () => MISTAKES.penalty.length + MISTAKES.penalty.offset,
    mistakeAt: (offsetMm) => ({ is: 'distance-offset', kinds, offsetMm }),
  }));
}

/** Shots that state one value together: all of a kind with the same number there, if it isn't all of the kind. */
function sharing(statement: Statement, index: number, field: 'distance' | 'spacing'): number[] {
  const place = statement.places[index]!;
  return [...statement.places.keys()].filter((n) => {
    const other = statement.places[n];
    return other && other.kind === place.kind && other[NAMES[field]] === place[NAMES[field]];
  });
}

function numberFamilies(statement: Statement, misfits: readonly number[]): Family[] {
  const found: Family[] = [];
  const seen = new Set<string>();
  for (const index of misfits) {
    const place = statement.places[index];
    if (!place) continue;
    const kinds: [ShotField, number[]][] = [
      ['across', [index]],
      ['up', [index]],
      ['distance', [index]],
      ['exposure', [index]],
    ];
    if (place.kind === 'pair') kinds.push(['spacing', [index]]);
    for (const field of ['distance', 'spacing'] as const) {
      const together = sharing(statement, index, field);
      const all = statement.places.filter((other) => other?.kind === place.kind).length;
      if (together.length > 1 && together.length < all && (field === 'distance' || place.kind === 'pair'))
        kinds.push([field, together]);
    }
    for (const [field, shots] of kinds) {
      const key = `${field} ${shots.join()}`;
      if (seen.has(key)) continue;
      seen.add(key);
      found.push(numberFamily(statement, field, shots));
    }
  }
  return found;
}

function numberFamily(statement: Statement, field: ShotField, shots: readonly number[]): Family {
  const stated = statement.places[shots[0]!]!;
  const own = new Set(shots);
  const widest = statement.places.reduce<number>(
    (most, place) => Math.max(most, Math.abs(place?.acrossMm ?? 0), Math.abs(place?.upMm ?? 0)),
    SEARCH.leastPlaceMm,
  );
  const valueAt = (x: number): number => {
    if (field === 'exposure') return x;
    const start = stated[NAMES[field]];
    return field === 'distance' || field === 'spacing' ? start * Math.exp(x) : start + x * widest;
  };
  return {
    grid: field === 'across' || field === 'up' ? SEARCH.placeGrid : SEARCH.lnGrid,
    statementAt: (x) =>
      withPlaces(statement, (place, n) => {
        if (!own.has(n)) return place;
        return field === 'exposure'
          ? { ...place, exposureLn: valueAt(x) }
          : { ...place, [NAMES[field]]: valueAt(x) };
      }),
    penaltyAt: () => MISTAKES.penalty.number,
    mistakeAt: (x) => ({
      is: 'number',
      field,
      shots,
      value: field === 'exposure' ? Math.exp(valueAt(x)) : valueAt(x),
    }),
  };
}

function misfitsOf({ byShot }: Score, least: number): number[] {
  return [...byShot.keys()].filter((n) => byShot[n] > least).sort((a, b) => byShot[b]! - byShot[a]!);
}

/** Readings of a few shots of each kind, spread over all; the others' are left out. */
function thinned(readings: readonly Reading[], always: ReadonlySet<number>): Reading[] {
  const { lamps, pairs } = SEARCH.firstLook;
  const kept = new Set(always);
  for (const [kind, most] of [
    ['lamp', lamps],
    ['pair', pairs],
  ] as const) {
    const own = [...readings.keys()].filter((n) => readings[n]!.shot.kind === kind && readings[n]!.spots);
    const step = Math.max(1, own.length / most);
    for (let at = 0; at < own.length; at += step) kept.add(own[Math.floor(at)]!);
  }
  return readings.map((reading, n) => (kept.has(n) ? reading : { ...reading, spots: null }));
}

interface Candidates {
  readonly base: Score;
  /** The least costly first. */
  readonly candidates: Candidate[];
}

function candidatesOf(
  statement: Statement,
  readings: readonly Reading[],
  circumstances: Circumstances,
  scatter: Scatter,
): Candidates {
  const base = scoreStatement(statement, readings, circumstances, scatter);
  const misfits = misfitsOf(base, SEARCH.misfitCost);
  const few = misfits.slice(0, SEARCH.mostMisfits);
  const odd = few.slice(0, SEARCH.mostNumbers);
  const sparse = thinned(readings, new Set(odd));
  const { rounds, stretch } = SEARCH.firstLook;
  const loosely = { ...circumstances, stretchSigma: circumstances.stretchSigma + stretch };
  const costs: Costs = {
    full: (one) => scoreStatement(one, readings, circumstances, scatter).cost,
    first: (one) => scoreStatement(one, sparse, loosely, scatter, rounds).cost,
  };
  const fixed = [...signMistakes(statement), ...unitMistakes(statement)].map((one) => ({
    ...one,
    look: costs.first(one.statement) + one.penalty,
  }));
  const least = Math.min(costs.first(statement), ...fixed.map(({ look }) => look));
  const orders = (['lamp', 'pair'] as const).flatMap((kind) =>
    misfits.filter((n) => statement.places[n]?.kind === kind).length < SEARCH.misfitsForOrder
      ? []
      : orderMistakes(statement, kind),
  );
  const candidates = [
    ...fixed.filter(({ look }) => look < least + SEARCH.firstLook.margin),
    ...orders,
    ...swapMistakes(statement, few),
  ].map((one): Candidate => ({ ...one, sigma: 0, cost: costs.full(one.statement) + one.penalty }));
  const families = [
    ...lengthFamilies(statement),
    ...offsetFamilies(statement),
    ...numberFamilies(statement, odd),
  ];
  candidates.push(...bestOf(families, costs, least));
  candidates.sort((a, b) => a.cost - b.cost);
  /** Another number for a shot that fits no better with it than a misfit does explains nothing: no lamp may be in it. */
  const explains = ({ mistake, statement: mended }: Candidate): boolean => {
    if (mistake.is !== 'number') return true;
    const { byShot } = scoreStatement(mended, readings, circumstances, scatter);
    return mistake.shots.every((n) => byShot[n] < SEARCH.unexplainedCost);
  };
  return { base, candidates: candidates.filter(explains) };
}

/**
 * Which mistakes in what is stated would explain what the photos show, one at a time, the best first, until none
 * explains clearly more.
 *
 * How much the photos scatter is taken from the best explanation there is, so that a rough bench isn't doubted.
 */
export function findMistakes(
  stated: Statement,
  readings: readonly Reading[],
  circumstances: Circumstances,
): Found {
  const mistakes: FoundMistake[] = [];
  let current = stated;
  let scatter: Scatter = AS_STATED;
  while (mistakes.length < SEARCH.mostMistakes) {
    let { base, candidates } = candidatesOf(current, readings, circumstances, scatter);
    const best = candidates[0]?.statement ?? current;
    const settled = scatterOf(scoreStatement(best, readings, circumstances, scatter), scatter);
    if (differ(settled, scatter)) {
      scatter = settled;
      ({ base, candidates } = candidatesOf(current, readings, circumstances, scatter));
    }
    const [first, ...others] = candidates;
    if (!first) break;
    const gain = base.cost - first.cost;
    if (gain < SEARCH.leastGain) break;
    mistakes.push({
      mistake: first.mistake,
      gain,
      sigma: first.sigma,
      before: current,
      rivals: others.filter((one) => one.cost < first.cost + SEARCH.rivalCost).map((one) => one.mistake),
    });
    current = first.statement;
  }
  const last = scoreStatement(current, readings, circumstances, AS_STATED);
  return {
    mistakes,
    corrected: current,
    misfits: misfitsOf(last, SEARCH.oddCost),
    unnoticed: unnoticedErrors(current, (one) => scoreStatement(one, readings, circumstances, scatter).cost),
  };
}

function differ(one: Scatter, other: Scatter): boolean {
  return (Object.keys(one) as (keyof Scatter)[]).some(
    (key) => Math.abs(Math.log(one[key] / other[key])) > SEARCH.sameScatterLn,
  );
}
