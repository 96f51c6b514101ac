import { readBases } from './bases.js';
import { drawCase } from './cases.js';
import { type Outcome, runCase } from './run-case.js';

/** What a worker answers with. */
export interface Answer {
  readonly seed: number;
  readonly outcome: Outcome;
  readonly peakBytes: number;
}

/** A case that the bench itself could not make. */
function notRun(error: Error): Outcome {
  return { family: 'bench', what: 'not run', code: -1, cpuS: 0, wallS: 0, wrong: [`${error.stack}`] };
}

const bases = readBases(process.argv[2]!);

process.on('message', async (seed: number) => {
  const outcome = await runCase(drawCase(await bases, seed)).catch((error: Error) => notRun(error));
  const answer: Answer = { seed, outcome, peakBytes: process.resourceUsage().maxRSS * 1024 };
  process.send!(answer);
});
