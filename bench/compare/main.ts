import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { compareResults } from '@twolamp/compare';
import { makeAndMeasure } from '../accuracy/run-session.js';
import { replacedPair, type SessionPair, unchangedPair } from './draw-pair.js';
import { peerDistances, peerLights } from './peer-pair.js';
import { type Measured, type PairScore, scorePair } from './score-pair.js';
import { summary } from './summary.js';

const HELP = `Two sessions of one array each, made from a seed, measured and compared; what is found against what was changed.

node bench/dist/compare/main.js [--unchanged 100] [--replaced 20] [--peer-distances 0] [--peer-lights 0] [--from 0] [--scores FILE]

The last two kinds are made by the second renderer; see peer-pair.ts. Each pair's score is appended to FILE as a line of JSON; pairs that FILE holds already aren't run again. The table goes to stdout.
`;

const { values } = parseArgs({
  options: {
    unchanged: { type: 'string', default: '100' },
    replaced: { type: 'string', default: '20' },
    'peer-distances': { type: 'string', default: '0' },
    'peer-lights': { type: 'string', default: '0' },
    from: { type: 'string', default: '0' },
    scores: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

/** Makes both sessions with Twolamp's own simulator and measures them. */
async function simulated({ earlier, later }: SessionPair): Promise<readonly [Measured, Measured]> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-compare-bench-'));
  try {
    const before = await makeAndMeasure(earlier, join(folder, 'earlier'));
    const after = await makeAndMeasure(later, join(folder, 'later'));
    return [measured(before), measured(after)];
  } finally {
    await rm(folder, { recursive: true });
  }
}

function measured({ truth, result }: Awaited<ReturnType<typeof makeAndMeasure>>): Measured {
  const { criterion } = result.resolving ?? {};
  const distanceM = truth.resolving.find((one) => one.criterion === criterion)?.distanceM ?? null;
  return { cells: truth.cells, distanceM, result };
}

async function run(): Promise<PairScore[]> {
  const { scores: file } = values;
  const lines = file !== undefined && existsSync(file) ? readFileSync(file, 'utf8').trim().split('\n') : [];
  const scores: PairScore[] = lines.map((line) => JSON.parse(line));
  const from = Number(values.from);
  const numbers = (count: string) => Array.from({ length: Number(count) }, (_, n) => from + n);
  const tasks = [
    ...numbers(values.replaced).map((n) => ({ id: `replaced ${n}`, made: () => simulated(replacedPair(n)) })),
    ...numbers(values.unchanged).map((n) => ({
      id: `unchanged ${n}`,
      made: () => simulated(unchangedPair(n)),
    })),
    ...numbers(values['peer-distances']).map((n) => ({
      id: `peer distances ${n}`,
      made: () => peerDistances(n),
    })),
    ...numbers(values['peer-lights']).map((n) => ({ id: `peer lights ${n}`, made: () => peerLights(n) })),
  ];
  for (const { id, made } of tasks) {
    if (scores.some((score) => score.id === id)) continue;
    const [before, after] = await made();
    const score = scorePair(id, before, after, compareResults(before.result, after.result));
    scores.push(score);
    if (file !== undefined) appendFileSync(file, `${JSON.stringify(score)}\n`);
    console.error(`${id}: ${score.called.length} called changed of ${score.tubes}`);
  }
  return scores;
}

if (values.help) console.log(HELP);
else console.log(summary(await run()));
