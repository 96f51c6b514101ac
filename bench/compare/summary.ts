import type { PairScore } from './score-pair.js';

const percent = (part: number, whole: number): string =>
  `${((100 * part) / whole).toFixed(2)} % (${part} of ${whole})`;

const sum = (scores: readonly PairScore[], of: (score: PairScore) => number): number =>
  scores.reduce((total, score) => total + of(score), 0);

function pullWords(scores: readonly PairScore[]): string {
  const mean = (of: (score: PairScore) => number) => (sum(scores, of) / scores.length).toFixed(2);
  return `${mean(({ pull }) => pull.rms)} (robust ${mean(({ pull }) => pull.robust)})`;
}

function withZeroLine(which: string, scores: readonly PairScore[]): string {
  const resolving = scores.flatMap((score) => (score.resolving === null ? [] : [score.resolving]));
  const withZero = resolving.filter(({ verdict }) => verdict === 'no difference shown').length;
  return `| difference of resolving distances includes 0, ${which} | ≥ 95 % | ${percent(withZero, resolving.length)} |`;
}

/** The figures of all pairs as a table in Markdown. */
export function summary(scores: readonly PairScore[]): string {
  const of = (kind: string) => scores.filter(({ id }) => id.startsWith(kind));
  const [replaced, unchanged] = [of('replaced'), of('unchanged')];
  const called = sum(replaced, ({ called }) => called.length);
  return [
    '| figure | goal | got |',
    '|---|---|---|',
    ...(replaced.length === 0
      ? []
      : [
          `| 25 of 500 tubes replaced: changes of 10 % or more found | all | ${percent(
            sum(replaced, ({ found }) => found),
            sum(replaced, (score) => score.replaced),
          )} |`,
          `| false discoveries | ≤ 5 % | ${percent(
            sum(replaced, ({ wrong }) => wrong),
            called,
          )} |`,
          `| unchanged tubes: (change − truth) ÷ uncertainty, RMS | – | ${pullWords(replaced)} |`,
        ]),
    ...(unchanged.length === 0
      ? []
      : [
          `| nothing changed: tubes called changed | ≤ 0.5 % | ${percent(
            sum(unchanged, ({ wrong }) => wrong),
            sum(unchanged, ({ tubes }) => tubes),
          )} |`,
          `| (change − truth) ÷ uncertainty, RMS | – | ${pullWords(unchanged)} |`,
          withZeroLine(
            'with lamp shots',
            unchanged.filter(({ lampShots }) => lampShots > 0),
          ),
          withZeroLine(
            'pairs alone',
            unchanged.filter(({ lampShots }) => lampShots === 0),
          ),
        ]),
    '',
  ].join('\n');
}
