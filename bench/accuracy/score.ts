import { type Fault, isDoubt, type Result } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import type { Drawn } from './draw-plan.js';
import type { Run } from './run-session.js';
import { median, short } from './figures.js';
import { NO_TUBES, scoreTubes, type TubeScore } from './score-tubes.js';
import { roughPart } from './smooth.js';

/** What one session says of the figures: errors, cell by cell or shot by shot. */
export interface Score extends TubeScore {
  readonly index: number;
  readonly clean: boolean;
  readonly pitchPx: number;
  readonly file: string;
  readonly seconds: number;
  /** What the measurement answered where it refused the session. */
  readonly refused: string | null;
  readonly cells: number;
  readonly indexedRight: number;
  readonly centrePx: readonly number[];
  /** Measured over true relative transmission − 1, healthy tubes. */
  readonly transmission: readonly number[];
  /** The same error over its stated standard uncertainty. */
  readonly transmissionPull: readonly number[];
  /** Scatter of the light over the photon-noise limit. */
  readonly fluxOverLimit: number | null;
  /** Across and up, one after the other; healthy tubes of sessions with a 9 × 7 sweep. */
  readonly pointingDeg: readonly number[];
  readonly pointingPull: readonly number[];
  /** How many tubes of each true fault were given each label. */
  readonly labels: readonly (readonly [Fault, Fault, number])[];
  readonly dip: readonly number[];
  readonly dipPull: readonly number[];
  readonly resolving: {
    readonly trueM: number;
    readonly distanceM: number;
    readonly lowM: number | null;
    readonly highM: number | null;
  } | null;
  readonly crosstalk: readonly number[];
  readonly crosstalkPull: readonly number[];
  /** Findings that make figures doubtful, though the session is right. */
  readonly doubts: readonly string[];
}

/** A cell's light sits right when its middle is nearer than this to the true one, in pitches. */
const RIGHT_PITCHES = 0.35;
/** Degree of the smooth surface that is no error of the light itself. */
const SMOOTH_DEGREE = 4;
const CELLS_PER_TERM = 5;

const isHealthy = (cell: Truth['cells'][number]): boolean => cell.fault === 'none';
/** An empty score, of a session that was refused. */
export function refusedScore(index: number, drawn: Drawn, seconds: number, refused: string): Score {
  return {
    ...heading(index, drawn, seconds),
    refused,
    cells: drawn.plan.array.rows * drawn.plan.array.columns,
    indexedRight: 0,
    centrePx: [],
    transmission: [],
    transmissionPull: [],
    fluxOverLimit: null,
    pointingDeg: [],
    pointingPull: [],
    labels: [],
    dip: [],
    dipPull: [],
    resolving: null,
    crosstalk: [],
    crosstalkPull: [],
    doubts: [],
    ...NO_TUBES,
  };
}

function heading(index: number, { clean, pitchPx, plan }: Drawn, seconds: number) {
  return { index, clean, pitchPx: short(pitchPx), file: plan.photo.format, seconds: short(seconds) };
}

/** Holds a measured session against its truth. */
export function scoreSession(index: number, drawn: Drawn, run: Run, seconds: number): Score {
  const { truth, result } = run;
  return {
    ...heading(index, drawn, seconds),
    refused: null,
    ...scorePlaces(drawn, truth, result),
    ...scoreTransmission(run),
    ...scorePointing(drawn, truth, result),
    labels: scoreLabels(drawn, truth, result),
    ...scoreDips(truth, result),
    resolving: scoreResolving(truth, result),
    ...scoreCrosstalk(truth, result),
    doubts: result.findings.filter(isDoubt).map(({ code, about }) => `${code} ${about}`),
    ...scoreTubes(drawn, truth, result),
  };
}

function scorePlaces(drawn: Drawn, truth: Truth, result: Result) {
  const misses = truth.cells.map((cell, k) =>
    Math.hypot(result.cells[k].xPx - cell.xPx, result.cells[k].yPx - cell.yPx),
  );
  return {
    cells: misses.length,
    indexedRight: misses.filter((miss) => miss < RIGHT_PITCHES * drawn.pitchPx).length,
    centrePx: misses.filter((_, k) => isHealthy(truth.cells[k])).map(short),
  };
}

function scoreTransmission({ truth, result, limits }: Run) {
  // Truth counts from a clean tube, the measurement from what the tubes around give.
  const typical = median(truth.cells.filter(isHealthy).map((cell) => cell.relativeTransmission));
  const known = truth.cells.flatMap((cell, k) => {
    const { relative, relativeUncertainty } = result.cells[k].transmission;
    if (!isHealthy(cell) || relative === null || relativeUncertainty === null) return [];
    const wanted = cell.relativeTransmission / typical;
    return [{ k, cell, wanted, relative, pull: (relative - wanted) / relativeUncertainty }];
  });
  let degree = SMOOTH_DEGREE;
  while (degree > 0 && known.length < (CELLS_PER_TERM * (degree + 1) * (degree + 2)) / 2) degree--;
  const rough = roughPart(
    known.map(({ cell }) => cell.xPx),
    known.map(({ cell }) => cell.yPx),
    known.map(({ relative, wanted }) => Math.log(Math.max(relative, 1e-6) / wanted)),
    degree,
  );
  const ratios = rough.map((value, n) => Math.abs(value) / limits[known[n].k]);
  return {
    transmission: known.map(({ relative, wanted }) => short(relative / wanted - 1)),
    transmissionPull: known.map(({ pull }) => short(pull)),
    // Median absolute deviation, made a standard deviation: 1/Φ⁻¹(3/4).
    fluxOverLimit: short(1.4826 * median(ratios)),
  };
}

function scorePointing({ sweep }: Drawn, truth: Truth, result: Result) {
  const looks = sweep ? lookOfLight(truth.cells.map((cell) => ({ ...cell, leaks: cell.crosstalk.to }))) : [];
  const errors = truth.cells.flatMap((cell, k) => {
    const { pointing } = result.cells[k];
    if (!sweep || !isHealthy(cell) || !pointing) return [];
    return [pointing.acrossDeg - looks[k].acrossDeg, pointing.upDeg - looks[k].upDeg].map((error) => ({
      error,
      pull: pointing.uncertaintyDeg === null ? null : error / pointing.uncertaintyDeg,
    }));
  });
  return {
    pointingDeg: errors.map(({ error }) => short(error)),
    pointingPull: errors.flatMap(({ pull }) => (pull === null ? [] : [short(pull)])),
  };
}

/** What is true of a tube, as far as its light's direction goes. */
export interface TrueLook {
  readonly row: number;
  readonly column: number;
  readonly relativeTransmission: number;
  readonly pointing: { readonly acrossDeg: number; readonly upDeg: number };
  /** Shares of its light that come out elsewhere. */
  readonly leaks: readonly { readonly row: number; readonly column: number; readonly share: number }[];
}

/**
 * Where the light looks that comes out of each cell, what its neighbours leak into it included: the centre of gravity of
 * the acceptance, which like the transmission is that of the light that comes out.
 */
export function lookOfLight(cells: readonly TrueLook[]): { acrossDeg: number; upDeg: number }[] {
  const slope = (angleDeg: number) => Math.tan((angleDeg * Math.PI) / 180);
  const angleDeg = (slope: number) => (Math.atan(slope) * 180) / Math.PI;
  const place = new Map(cells.map(({ row, column }, k) => [`${row} ${column}`, k]));
  const leaked = cells.map(() => ({ light: 0, across: 0, up: 0 }));
  for (const { relativeTransmission, pointing, leaks } of cells) {
    for (const { row, column, share } of leaks) {
      const into = leaked[place.get(`${row} ${column}`)!];
      const light = share * relativeTransmission;
      into.light += light;
      into.across += light * slope(pointing.acrossDeg);
      into.up += light * slope(pointing.upDeg);
    }
  }
  return cells.map(({ relativeTransmission, pointing }, k) => {
    const own = relativeTransmission - leaked[k].light;
    const look = (leakedIn: number, ownDeg: number) =>
      angleDeg((own * slope(ownDeg) + leakedIn) / relativeTransmission);
    return {
      acrossDeg: look(leaked[k].across, pointing.acrossDeg),
      upDeg: look(leaked[k].up, pointing.upDeg),
    };
  });
}

/** Faults that the shots can show: without a sweep nothing tells where tubes point, without its single shot a leak. */
function scoreLabels({ sweep, plan }: Drawn, truth: Truth, result: Result): Score['labels'] {
  const tested = new Set(
    plan.shots.flatMap((shot) => (shot.kind === 'single' ? [`${shot.row} ${shot.column}`] : [])),
  );
  const counts = new Map<string, [Fault, Fault, number]>();
  truth.cells.forEach(({ fault, row, column }, k) => {
    if (!sweep && (fault === 'bent' || fault === 'misaimed')) return;
    if (fault === 'leaky' && !tested.has(`${row} ${column}`)) return;
    const label = result.cells[k].fault;
    const key = `${fault} ${label}`;
    const [, , count] = counts.get(key) ?? [fault, label, 0];
    counts.set(key, [fault, label, count + 1]);
  });
  return [...counts.values()];
}

function scoreDips(truth: Truth, result: Result) {
  const pairs = truth.pairs.flatMap((pair) => {
    const measured = result.pairs.find((one) => one.photo === pair.photo);
    if (!measured || measured.dip === null) return [];
    const error = measured.dip - pair.dip;
    return [{ error, pull: measured.dipUncertainty === null ? null : error / measured.dipUncertainty }];
  });
  return {
    dip: pairs.map(({ error }) => short(error)),
    dipPull: pairs.flatMap(({ pull }) => (pull === null ? [] : [short(pull)])),
  };
}

function scoreCrosstalk(truth: Truth, result: Result) {
  const tested = result.cells.flatMap(({ crosstalk }, k) => {
    if (crosstalk === null) return [];
    const error = crosstalk.total - truth.cells[k].crosstalk.total;
    return [{ error, uncertainty: crosstalk.totalUncertainty }];
  });
  return {
    crosstalk: tested.map(({ error }) => short(error)),
    crosstalkPull: tested.flatMap(({ error, uncertainty }) =>
      uncertainty === null ? [] : [short(error / uncertainty)],
    ),
  };
}

function scoreResolving(truth: Truth, { resolving }: Result): Score['resolving'] {
  const wanted = truth.resolving.find((one) => one.criterion === resolving?.criterion);
  if (!resolving || wanted?.distanceM == null || resolving.bound !== 'within') return null;
  const { distanceM, lowM, highM } = resolving;
  return { trueM: wanted.distanceM, distanceM, lowM, highM };
}
