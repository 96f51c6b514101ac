import { readBases } from './bases.js';
import { drawCase } from './cases.js';
import { type Outcome, runCase } from './run-case.js';

/** What a worker answers with. */
export interface Answer {
  readonly seed: number;
  readonly outcome: Outcome;
  readonly peakBytes: number;
}

const bases = readBases(process.argv[2]!);

process.on('message', async (seed: number) => {
  const outcome = await runCase(drawCase(await bases, seed));
  const answer: Answer = { seed, outcome, peakBytes: process.resourceUsage().maxRSS * 1024 };
  process.send!(answer);
});
