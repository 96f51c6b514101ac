import { readFileSync } from 'node:fs';
import { Command } from 'commander';
import type { Terminal } from './terminal.js';
import { addBegin } from './verbs/begin.js';
import { addBench } from './verbs/bench.js';
import { addCheck } from './verbs/check.js';
import { addCompare } from './verbs/compare.js';
import { addDemo } from './verbs/demo.js';
import { addMeasure } from './verbs/measure.js';
import { addPlan } from './verbs/plan.js';
import { addPreview } from './verbs/preview.js';
import { addReport } from './verbs/report.js';
import { addSimulate } from './verbs/simulate.js';
import { addWeigh } from './verbs/weigh.js';

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

/** The command with all its verbs. Usage errors are thrown as CommanderError, after commander has shown them. */
export function twolamp(terminal: Terminal): Command {
  const program = new Command('twolamp')
    .description(
      'An optical test bench for hand-built light-pipe arrays: how far two lamps stay separate, which tubes are faulty.',
    )
    .version(version)
    .exitOverride()
    .configureOutput({ writeOut: terminal.out, writeErr: terminal.err });
  addBench(program, terminal);
  addPlan(program, terminal);
  addBegin(program, terminal);
  addCheck(program, terminal);
  addMeasure(program, terminal);
  addReport(program, terminal);
  addCompare(program, terminal);
  addPreview(program, terminal);
  addWeigh(program, terminal);
  addSimulate(program, terminal);
  addDemo(program, terminal);
  return program;
}
