import { HALF_95, type PairScore } from './score-pair.js';

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

function lightLine(kind: string, scores: readonly PairScore[]): string[] {
  const known = sum(scores, ({ held }) => held[1]);
  if (known === 0) return [];
  const held = percent(
    sum(scores, (score) => score.held[0]),
    known,
  );
  return [
    `| ${kind}: 95 % interval of a tube's change holds the true one | 90–98 % | ${held}; error ÷ uncertainty ${pullWords(scores)} |`,
  ];
}

function distanceLine(kind: string, scores: readonly PairScore[]): string[] {
  const pulls = scores.flatMap(({ distancePull }) => distancePull ?? []);
  if (pulls.length === 0) return [];
  const held = percent(pulls.filter((pull) => Math.abs(pull) <= 1).length, pulls.length);
  const rms = HALF_95 * Math.sqrt(pulls.reduce((all, pull) => all + pull ** 2, 0) / pulls.length);
  return [
    `| ${kind}: 95 % interval of the change of distance holds the true one | 90–98 % | ${held}; error ÷ uncertainty ${rms.toFixed(2)} |`,
  ];
}

/** The figures of all pairs as a table in Markdown. */
export function summary(scores: readonly PairScore[]): string {
  const of = (kind: string) => scores.filter(({ id }) => id.startsWith(kind));
  const [replaced, unchanged] = [of('replaced'), of('unchanged')];
  const kinds = ['unchanged', 'replaced', 'peer distances', 'peer lights'];
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
    ...kinds.flatMap((kind) => [...lightLine(kind, of(kind)), ...distanceLine(kind, of(kind))]),
    '',
  ].join('\n');
}
