import type { Fault } from '@twolamp/session';
import type { Score } from './score.js';

/** One line of the table of goals. */
export interface Line {
  readonly figure: string;
  readonly goal: string;
  readonly got: string;
  /** Null where nothing was measured, or where no goal is set. */
  readonly reached: boolean | null;
}

const NOT_MEASURED = 'not measured';
/** What the shots must find of these without fail, and of those in most cases. */
const PLAIN: readonly Fault[] = ['blocked', 'weak', 'open', 'leaky'];
const SUBTLE: readonly Fault[] = ['bent', 'misaimed'];
const PULL_RANGE = [0.9, 1.2] as const;
const COVERAGE_RANGE = [0.9, 0.98] as const;

const percent = (share: number, digits = 2): string => `${(100 * share).toFixed(digits)} %`;

function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

/** The value below which a share of the values lies. */
function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}

function line(
  figure: string,
  goal: string,
  values: readonly unknown[],
  got: () => readonly [string, boolean | null],
): Line {
  if (values.length === 0) return { figure, goal, got: NOT_MEASURED, reached: null };
  const [words, reached] = got();
  return { figure, goal, got: words, reached };
}

/** Scatter of (measured − truth) ÷ stated uncertainty; the robust one beside it tells a few strays from all being off. */
function pullLine(figure: string, pulls: readonly number[]): Line {
  return line(`${figure}: (measured − truth) ÷ uncertainty, SD`, '0.9–1.2', pulls, () => {
    const deviation = rms(pulls);
    const robust = 1.4826 * quantile(pulls.map(Math.abs), 0.5);
    const inside = deviation >= PULL_RANGE[0] && deviation <= PULL_RANGE[1];
    return [`${deviation.toFixed(2)} (robust ${robust.toFixed(2)}, n ${pulls.length})`, inside];
  });
}

/** Two sided, normal distribution. */
const SIGMAS_OF_95 = 1.96;

/** How many of the stated 95 % intervals hold the truth. */
function coverageLine(figure: string, pulls: readonly number[]): Line {
  return heldLine(
    figure,
    pulls.map((pull) => Math.abs(pull) <= SIGMAS_OF_95),
  );
}

/** @param held - of each interval, whether it holds the truth */
function heldLine(figure: string, held: readonly boolean[]): Line {
  return line(`${figure}: 95 % interval holds the truth`, '90–98 %', held, () => {
    const count = held.filter((one) => one).length;
    const share = count / held.length;
    return [
      `${percent(share, 1)} (${count} of ${held.length})`,
      share >= COVERAGE_RANGE[0] && share <= COVERAGE_RANGE[1],
    ];
  });
}

function coverageLines(scores: readonly Score[]): Line[] {
  const all = (of: (score: Score) => readonly number[]) => scores.flatMap(of);
  return [
    coverageLine(
      'relative transmission',
      all(({ transmissionPull }) => transmissionPull),
    ),
    coverageLine(
      'pointing',
      all(({ pointingPull }) => pointingPull),
    ),
    coverageLine(
      'acceptance width',
      all(({ widthPull }) => widthPull),
    ),
    coverageLine(
      'crosstalk total',
      all(({ crosstalkPull }) => crosstalkPull),
    ),
    coverageLine(
      'dip',
      all(({ dipPull }) => dipPull),
    ),
    coverageLine(
      'gain of a blocked, weak or open tube replaced',
      all(({ gainPull }) => gainPull),
    ),
  ];
}

function centreLine(figure: string, goalPx: number | null, scores: readonly Score[]): Line {
  const misses = scores.flatMap((score) => score.centrePx);
  return line(figure, goalPx === null ? '–' : `${goalPx} px`, misses, () => {
    const got = rms(misses);
    return [`${got.toFixed(3)} px`, goalPx === null ? null : got <= goalPx];
  });
}

function countLabels(scores: readonly Score[], want: (truth: Fault, label: Fault) => boolean): number {
  return scores
    .flatMap((score) => score.labels)
    .reduce((sum, [truth, label, count]) => sum + (want(truth, label) ? count : 0), 0);
}

function faultLines(scores: readonly Score[]): Line[] {
  const share = (
    figure: string,
    goal: string,
    of: (truth: Fault) => boolean,
    want: (truth: Fault, label: Fault) => boolean,
    reached: (share: number) => boolean,
  ): Line => {
    const all = countLabels(scores, of);
    const part = countLabels(scores, (truth, label) => of(truth) && want(truth, label));
    return line(figure, goal, all === 0 ? [] : [all], () => [
      `${percent(part / all)} (${part} of ${all})`,
      reached(part / all),
    ]);
  };
  const found = (_: Fault, label: Fault) => label !== 'none';
  return [
    ...PLAIN.map((fault) =>
      share(
        `${fault}${fault === 'leaky' ? ', where tested' : ''}: found`,
        '≥ 99 %',
        (truth) => truth === fault,
        found,
        (part) => part >= 0.99,
      ),
    ),
    share(
      'bent or misaimed: found',
      '≥ 95 %',
      (truth) => SUBTLE.includes(truth),
      found,
      (part) => part >= 0.95,
    ),
    share(
      'bent or misaimed: told apart',
      '≥ 80 %',
      (truth) => SUBTLE.includes(truth),
      (truth, label) => truth === label,
      (part) => part >= 0.8,
    ),
    share(
      'false alarms among healthy tubes',
      '≤ 0.5 %',
      (truth) => truth === 'none',
      found,
      (part) => part <= 0.005,
    ),
  ];
}

/** Errors of a figure that each session gives once. */
function typicalLine(figure: string, goal: number, errors: readonly number[]): Line {
  return line(figure, percent(goal, 0), errors, () => {
    const got = rms(errors);
    const within = errors.filter((error) => Math.abs(error) <= goal).length;
    return [`${percent(got)} (${within} of ${errors.length} within ${percent(goal, 0)})`, got <= goal];
  });
}

function lengthLine(figure: string, found: readonly (readonly [number, number])[]): Line {
  return line(figure, '20 % or 0.3 mm', found, () => {
    const within = found.filter(([truth, error]) => Math.abs(error) <= Math.max(0.2 * truth, 0.3)).length;
    return [
      `${within} of ${found.length} (RMS ${rms(found.map(([, error]) => error)).toFixed(2)} mm)`,
      within === found.length,
    ];
  });
}

function resolvingLines(scores: readonly Score[]): Line[] {
  const known = scores.flatMap((score) => score.resolving ?? []);
  const misses = known.map(({ trueM, distanceM }) => distanceM / trueM - 1);
  const stated = known.filter(({ lowM, highM }) => lowM !== null && highM !== null);
  return [
    typicalLine('resolving distance, RMS', 0.03, misses),
    heldLine(
      'resolving distance',
      stated.map(({ trueM, lowM, highM }) => trueM >= lowM! && trueM <= highM!),
    ),
  ];
}

function fluxLines(scores: readonly Score[]): Line[] {
  const files = [...new Set(scores.map((score) => score.file))].sort();
  const ratios = (of: readonly Score[]) => of.flatMap((score) => score.fluxOverLimit ?? []);
  return [
    line(
      "light of a cell: scatter over the photo's photon-noise limit, median",
      '≤ 1.3',
      ratios(scores),
      () => {
        const got = quantile(ratios(scores), 0.5);
        return [
          `${got.toFixed(2)} (90th percentile ${quantile(ratios(scores), 0.9).toFixed(2)})`,
          got <= 1.3,
        ];
      },
    ),
    ...files.map((file) => {
      const values = ratios(scores.filter((score) => score.file === file));
      return line(`– the same, ${file} files`, '–', values, () => [quantile(values, 0.5).toFixed(2), null]);
    }),
  ];
}

/** The table of goals: what all scores together say of each figure. */
export function tableOf(scores: readonly Score[]): Line[] {
  const all = <K extends keyof Score>(key: K) => scores.flatMap((score) => score[key] as readonly number[]);
  const cells = scores.reduce((sum, score) => sum + score.cells, 0);
  const right = scores.reduce((sum, score) => sum + score.indexedRight, 0);
  const refused = scores.filter((score) => score.refused !== null).length;
  const transmission = all('transmission').map(Math.abs);
  const pointing = all('pointingDeg');
  const dips = all('dip');
  const crosstalk = all('crosstalk');
  return [
    line('sessions measured', 'all', scores, () => [
      `${scores.length - refused} of ${scores.length}`,
      refused === 0,
    ]),
    line('cells indexed right', '100 %', scores, () => [
      `${percent(right / cells)} (${right} of ${cells})`,
      right === cells,
    ]),
    centreLine(
      'centre, RMS, clean photos',
      0.05,
      scores.filter((score) => score.clean),
    ),
    centreLine(
      'centre, RMS, other photos',
      null,
      scores.filter((score) => !score.clean),
    ),
    line('relative transmission, median error', '1 %', transmission, () => {
      const got = quantile(transmission, 0.5);
      return [percent(got), got <= 0.01];
    }),
    line('relative transmission, 95th percentile', '3 %', transmission, () => {
      const got = quantile(transmission, 0.95);
      return [percent(got), got <= 0.03];
    }),
    pullLine('relative transmission', all('transmissionPull')),
    ...fluxLines(scores),
    line('pointing, RMS each way, healthy tubes, 9 × 7 sweep', '0.05°', pointing, () => {
      const got = rms(pointing);
      return [`${got.toFixed(4)}°`, got <= 0.05];
    }),
    pullLine('pointing', all('pointingPull')),
    typicalLine(
      'acceptance width of the array, RMS',
      0.03,
      scores.flatMap(({ width }) => width ?? []),
    ),
    typicalLine(
      'effective gloss of the walls, RMS',
      0.15,
      scores.flatMap(({ gloss }) => gloss ?? []),
    ),
    ...faultLines(scores),
    lengthLine(
      'bow of bent tubes',
      scores.flatMap(({ bowMm }) => bowMm),
    ),
    lengthLine(
      'cure shift of misaimed tubes',
      scores.flatMap(({ cureMm }) => cureMm),
    ),
    line('dip, RMS', '0.02', dips, () => [`${rms(dips).toFixed(4)} (n ${dips.length})`, rms(dips) <= 0.02]),
    pullLine('dip', all('dipPull')),
    ...resolvingLines(scores),
    line('crosstalk total, 95th percentile of the error', '0.003', crosstalk, () => {
      const got = quantile(crosstalk.map(Math.abs), 0.95);
      return [`${got.toFixed(4)} (RMS ${rms(crosstalk).toFixed(4)}, n ${crosstalk.length})`, got <= 0.003];
    }),
    ...coverageLines(scores),
    line('right sessions called doubtful', '≤ 1 %', scores, () => {
      const doubted = scores.filter(({ doubts }) => doubts.length > 0).length;
      return [`${doubted} of ${scores.length}`, doubted <= 0.01 * scores.length];
    }),
  ];
}

/** The table as Markdown, with what was refused below it. */
export function markdown(scores: readonly Score[]): string {
  const mark = (reached: boolean | null) => (reached === null ? '–' : reached ? 'yes' : 'no');
  const seconds = scores.reduce((sum, score) => sum + score.seconds, 0);
  const refused = scores.filter((score) => score.refused !== null);
  return [
    '| figure | goal | got | reached |',
    '|---|---|---|---|',
    ...tableOf(scores).map(
      ({ figure, goal, got, reached }) => `| ${figure} | ${goal} | ${got} | ${mark(reached)} |`,
    ),
    '',
    `${scores.length} sessions, ${Math.round(seconds)} s of work.`,
    ...refused.map((score) => `Session ${score.index} was refused: ${score.refused}`),
    ...scores.flatMap(({ index, doubts }) => doubts.map((doubt) => `Session ${index} was doubted: ${doubt}`)),
    '',
  ].join('\n');
}
