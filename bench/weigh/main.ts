import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { effectiveFNumber, seededRandom } from '@twolamp/optics';
import { type WeighRequest, weighResult } from '@twolamp/preview';
import type { Result, Way } from '@twolamp/session';
import { simulateSession, type Truth } from '@twolamp/simulate';
import { makeAndMeasure } from '../accuracy/run-session.js';
import { drawWeighing } from './draw-weighing.js';

const HELP = `Half-built arrays measured and weighed; what weigh predicts of the finished and of rebuilt ones against the truth
of these, made from the same builder's tubes. The table goes to stdout, in Markdown.

node bench/dist/weigh/main.js [--from 0] [--arrays 10]
`;

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '0' },
    arrays: { type: 'string', default: '10' },
    help: { type: 'boolean', default: false },
  },
});

/** One predicted way against what came of it. */
interface Held {
  readonly index: number;
  readonly way: string;
  /** Predicted over true, less 1. */
  readonly distance: number;
  /** The truth lies inside the stated 95 % interval, and the interval's half width as a share. */
  readonly inside: boolean;
  readonly halfWidth: number;
  readonly fNumber: number;
  readonly fNumberUncertainty: number;
}

const NOTHING: WeighRequest = { subject: null, known: null, minutesPerTube: null, rebuild: null };

/** Light of a typical tube, from the truth of the array. */
function trueFNumber({ cells }: Truth): number {
  const healthy = cells
    .filter(({ fault }) => fault === 'none')
    .map((cell) => cell.absoluteTransmission / cell.relativeTransmission)
    .sort((a, b) => a - b);
  return effectiveFNumber(healthy[Math.floor(healthy.length / 2)]!).sine;
}

function held(index: number, way: string, predicted: Way, truth: Truth): Held | null {
  const distanceM = truth.resolving[0]?.distanceM;
  const got = predicted.resolvingM;
  if (got === null || got.low === null || got.high === null || distanceM == null) {
    console.error(`${index} ${way}: predicted ${JSON.stringify(got)}, true ${distanceM}`);
    return null;
  }
  const { value, uncertainty } = predicted.effectiveFNumber!;
  return {
    index,
    way,
    distance: got.value / distanceM - 1,
    inside: got.low <= distanceM && distanceM <= got.high,
    halfWidth: (got.high - got.low) / 2 / got.value,
    fNumber: value / trueFNumber(truth) - 1,
    fNumberUncertainty: (uncertainty ?? 0) / value,
  };
}

async function measured(
  plan: Parameters<typeof makeAndMeasure>[0],
): Promise<{ truth: Truth; result: Result }> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-weigh-bench-'));
  try {
    return await makeAndMeasure(plan, folder);
  } finally {
    await rm(folder, { recursive: true });
  }
}

async function judge(index: number): Promise<(Held | null)[]> {
  const { halfBuilt, finished, rebuilds } = drawWeighing(index);
  const half = await measured(halfBuilt);
  const whole = await measured(finished);
  let generators = 1;
  const random = () => seededRandom(generators++);
  const wayOf = (request: WeighRequest, which: (way: Way) => boolean) =>
    weighResult(half.result, request, random).weighing.ways.find(which)!;
  const now = wayOf(NOTHING, ({ way }) => way === 'as it is');
  const then = wayOf(NOTHING, ({ way }) => way === 'finished');
  const seen = whole.result.resolving;
  console.error(
    `${index}: gloss ${half.truth.wall.gloss.toFixed(2)}, measured ${half.result.wall?.gloss.toFixed(3)} ± ${half.result.wall?.uncertainty}; half built ${now.resolvingM?.value}, true ${half.truth.resolving[0]?.distanceM}; finished measured ${seen?.distanceM} (${seen?.lowM} to ${seen?.highM}), true ${whole.truth.resolving[0]?.distanceM}`,
  );
  const shown: Truth = {
    ...whole.truth,
    resolving: [
      { ...whole.truth.resolving[0]!, distanceM: seen?.bound === 'within' ? seen.distanceM : null },
    ],
  };
  const rebuilt = [];
  for (const { name, rebuild, plan } of rebuilds) {
    const { truth } = await simulateSession(plan, () => {});
    const way = wayOf({ ...NOTHING, rebuild }, (one) => one.way.startsWith('rebuilt'));
    rebuilt.push(held(index, name, way, truth));
  }
  return [
    held(index, 'as it is', now, half.truth),
    held(index, 'finished', then, whole.truth),
    held(index, 'finished, as measured', then, shown),
    ...rebuilt,
  ];
}

const percent = (share: number) => (100 * share).toFixed(1);
const mean = (list: readonly number[]) => list.reduce((sum, one) => sum + one, 0) / list.length;
const rms = (list: readonly number[]) => Math.sqrt(mean(list.map((one) => one ** 2)));

function line(way: string, all: readonly Held[]): string {
  const of = all.filter((one) => one.way === way);
  const distances = of.map(({ distance }) => distance);
  const cells = [
    way,
    of.length,
    percent(mean(distances)),
    percent(rms(distances)),
    percent(mean(of.map(({ halfWidth }) => halfWidth))),
    `${of.filter(({ inside }) => inside).length} of ${of.length}`,
    percent(mean(of.map(({ fNumber }) => fNumber))),
    percent(rms(of.map(({ fNumber }) => fNumber))),
    percent(mean(of.map(({ fNumberUncertainty }) => fNumberUncertainty))),
  ];
  return `| ${cells.join(' | ')} |`;
}

async function main(): Promise<void> {
  const all: Held[] = [];
  for (let n = 0; n < Number(values.arrays); n++) {
    const one = (await judge(Number(values.from) + n)).flatMap((held) => held ?? []);
    for (const { way, distance, halfWidth, inside, fNumber, fNumberUncertainty } of one) {
      console.error(
        `  ${way}: ${percent(distance)} ± ${percent(halfWidth)} ${inside ? 'in' : 'OUT'}; f/ ${percent(fNumber)} ± ${percent(fNumberUncertainty)}`,
      );
    }
    all.push(...one);
  }
  console.log(
    '| way | arrays | distance off, mean % | RMS % | half of the 95 % interval, % | inside | f-number off, mean % | RMS % | stated, % |',
  );
  console.log('|---|---|---|---|---|---|---|---|---|');
  for (const way of new Set(all.map((one) => one.way))) console.log(line(way, all));
}

if (values.help) console.log(HELP);
else await main();
