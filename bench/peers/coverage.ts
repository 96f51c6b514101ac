import type { Judged, JudgedFigure } from './score-peer.js';

/** What many sessions say of one figure. */
export interface Coverage {
  readonly figure: JudgedFigure;
  readonly count: number;
  readonly rms: number;
  /** Size of the error below which half of them lie, and 95 in a hundred. */
  readonly median: number;
  readonly most95: number;
  /** Share of the stated 95 % intervals that hold the truth; null where none is stated. */
  readonly held: number | null;
  /** Root mean square of error over stated standard uncertainty; null likewise. */
  readonly pull: number | null;
}

const FIGURES: readonly JudgedFigure[] = [
  'transmission',
  'absolute',
  'pointing',
  'width',
  'crosstalk',
  'dip',
  'resolving',
];

/** Each figure that was judged at all, over all sessions. */
export function coverageOf(judged: readonly Judged[]): Coverage[] {
  return FIGURES.flatMap((figure) => {
    const of = judged.filter((one) => one.figure === figure);
    if (of.length === 0) return [];
    const sizes = of.map(({ error }) => Math.abs(error)).sort((a, b) => a - b);
    const below = (share: number) => sizes[Math.min(sizes.length - 1, Math.floor(share * sizes.length))];
    const held = of.flatMap((one) => (one.held === null ? [] : [Number(one.held)]));
    const pulls = of.flatMap((one) => (one.pull === null ? [] : [one.pull]));
    return [
      {
        figure,
        count: of.length,
        rms: rootMeanSquare(sizes),
        median: below(0.5),
        most95: below(0.95),
        held: held.length === 0 ? null : held.reduce((sum, one) => sum + one, 0) / held.length,
        pull: pulls.length === 0 ? null : rootMeanSquare(pulls),
      },
    ];
  });
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length);
}

/** The same as a table in Markdown. */
export function coverageTable(judged: readonly Judged[]): string {
  const share = (value: number | null) => (value === null ? '–' : `${(100 * value).toFixed(1)} %`);
  return [
    '| figure | n | RMS error | median | 95 % below | 95 % interval holds the truth | error ÷ uncertainty, RMS |',
    '|---|---|---|---|---|---|---|',
    ...coverageOf(judged).map(({ figure, count, rms, median, most95, held, pull }) => {
      const sizes = [rms, median, most95].map((size) => size.toPrecision(2)).join(' | ');
      return `| ${figure} | ${count} | ${sizes} | ${share(held)} | ${pull === null ? '–' : pull.toFixed(2)} |`;
    }),
  ].join('\n');
}
