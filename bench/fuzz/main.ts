import { type ChildProcess, fork } from 'node:child_process';
import { appendFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { makeBases } from './bases.js';
import type { Answer } from './worker.js';

/** Processor time beyond which a case counts as a hang. */
const HANG_S = 10;
/** Nothing heard for so long: the worker is stopped. Longer than HANG_S, since other work shares the machine. */
const SILENCE_S = 120;

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '1000' },
    seed: { type: 'string', default: '1' },
    workers: { type: 'string', default: '2' },
    failures: { type: 'string' },
  },
});
const first = Number(values.seed) * 1_000_000;
const count = Number(values.cases);

interface Tally {
  cases: number;
  codes: Map<number, number>;
  cpuS: number;
  slowestS: number;
}

const tallies = new Map<string, Tally>();
let next = first;
let done = 0;
let wrong = 0;
let hangs = 0;
let peakBytes = 0;

async function tell(seed: number, what: string, says: string): Promise<void> {
  console.log(`seed ${seed}: ${what}: ${says}`);
  if (values.failures) await appendFile(values.failures, `${JSON.stringify({ seed, what, says })}\n`);
}

async function take({ seed, outcome, peakBytes: bytes }: Answer): Promise<void> {
  const { family, what, code, cpuS, wrong: faults } = outcome;
  const tally = tallies.get(family) ?? { cases: 0, codes: new Map(), cpuS: 0, slowestS: 0 };
  tallies.set(family, tally);
  tally.cases++;
  tally.codes.set(code, (tally.codes.get(code) ?? 0) + 1);
  tally.cpuS += cpuS;
  tally.slowestS = Math.max(tally.slowestS, cpuS);
  peakBytes = Math.max(peakBytes, bytes);
  if (cpuS > HANG_S) {
    hangs++;
    await tell(seed, `${family}, ${what}`, `took ${cpuS.toFixed(1)} s`);
  }
  if (faults.length > 0) wrong++;
  for (const fault of faults) await tell(seed, `${family}, ${what}`, fault);
}

/** Works through cases in a process of its own, until none is left; a new process where one is stopped. */
async function drain(bases: string): Promise<void> {
  while (next < first + count) {
    const worker = fork(new URL('./worker.js', import.meta.url), [bases], {
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    await untilStopped(worker);
  }
}

function untilStopped(worker: ChildProcess): Promise<void> {
  return new Promise((resolve) => {
    let seed = 0;
    let timer: NodeJS.Timeout | undefined;
    let stopped = false;
    const stop = async (says: string) => {
      if (stopped) return;
      stopped = true;
      clearTimeout(timer);
      worker.kill('SIGKILL');
      hangs++;
      await tell(seed, 'case', says);
      resolve();
    };
    const give = () => {
      clearTimeout(timer);
      if (next >= first + count) {
        stopped = true;
        worker.disconnect();
        resolve();
        return;
      }
      seed = next++;
      timer = setTimeout(() => stop(`silent for ${SILENCE_S} s`), SILENCE_S * 1000);
      worker.send(seed);
    };
    worker.on('exit', (code, signal) => stop(`the process ended (${code ?? signal})`));
    worker.on('message', async (answer: Answer) => {
      done++;
      await take(answer);
      if (done % 500 === 0) console.log(`${done} of ${count} done, ${wrong} wrong`);
      give();
    });
    give();
  });
}

const bases = await mkdtemp(join(tmpdir(), 'twolamp-fuzz-bases-'));
try {
  await makeBases(bases, Number(values.seed));
  await Promise.all(Array.from({ length: Number(values.workers) }, () => drain(bases)));
} finally {
  await rm(bases, { recursive: true, force: true });
}
console.log(
  `\n${done} cases of seed ${values.seed}: ${wrong} wrong, ${hangs} hangs or deaths; peak ${(peakBytes / 1e6).toFixed(0)} MB`,
);
for (const [family, { cases, codes, cpuS, slowestS }] of [...tallies].sort()) {
  const ended = [...codes].sort().map(([code, times]) => `${times} × ${code}`);
  console.log(
    `${family}: ${cases} cases, exit ${ended.join(', ')}; ${(cpuS / cases).toFixed(2)} s each, slowest ${slowestS.toFixed(1)} s`,
  );
}
process.exitCode = wrong + hangs > 0 ? 1 : 0;
