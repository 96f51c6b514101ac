#!/usr/bin/env node
import { createInterface } from 'node:readline/promises';
import { discardDrafts } from './files/output-folder.js';
import { run } from './run.js';

// `npm run` starts in the checkout; paths on the command line are meant from where the person stands.
const { npm_lifecycle_event, INIT_CWD } = process.env;
if (npm_lifecycle_event === 'twolamp' && INIT_CWD !== undefined) process.chdir(INIT_CWD);

// Whoever reads our output may stop early (`| head`); then there is nobody left to write to.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

async function ask(question: string): Promise<string> {
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  return lines.question(question).finally(() => lines.close());
}

// Told to stop: nothing half-written stays. A second signal ends the process at once, as do those that come while it
// computes for long without a pause; what is then left behind, the next run clears away.
for (const [signal, code] of [
  ['SIGINT', 130],
  ['SIGTERM', 143],
] as const) {
  process.once(signal, () => {
    discardDrafts();
    process.exit(code);
  });
}

process.exitCode = await run(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  interactive: process.stderr.isTTY === true,
  ask: process.stdin.isTTY && process.stderr.isTTY ? ask : null,
});
