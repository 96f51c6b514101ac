import { readFileSync } from 'node:fs';
import { shortened } from '@twolamp/session/printable';
import { Command } from 'commander';
import type { Terminal } from './terminal.js';
const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string;
};

interface Verb {
  readonly description: string;
  /** Loads what the verb needs, and gives what adds its arguments and its work to its command. */
  readonly load: () => Promise<(command: Command, terminal: Terminal) => void>;
}

/** In the order of the help. A verb's own packages are loaded when it is called, so that the others start quickly. */
const VERBS: Readonly<Record<string, Verb>> = {
  bench: {
    description: 'the bench in a browser: shoot, see each photo judged at once, and go on to the report',
    load: async () => (await import('./verbs/bench.js')).addBench,
  },
  plan: {
    description:
      'predicts what an array will see and how much light it passes, and writes what to shoot: plan.txt, a short and ' +
      'a thorough shot list, a drawing of the bench and a sheet to print. Several values with commas between them (lengths, pitches, wall) compare ' +
      'designs side by side instead',
    load: async () => (await import('./verbs/plan.js')).addPlan,
  },
  begin: {
    description:
      'writes a session.yaml for a folder of photos: gives each shot of a planned list its photo; without a list, guesses ' +
      'the kinds and marks what you must fill in',
    load: async () => (await import('./verbs/begin.js')).addBegin,
  },
  check: {
    description:
      'tells what would spoil the measurement: clipped, dark or blurred photos, and shots that are missing',
    load: async () => (await import('./verbs/check.js')).addCheck,
  },
  measure: {
    description:
      'measures a session: result.json, cells.csv, pairs.csv, the report and the maps for the bench',
    load: async () => (await import('./verbs/measure.js')).addMeasure,
  },
  report: {
    description: 'writes the report again, from a result and the evidence.json beside it',
    load: async () => (await import('./verbs/report.js')).addReport,
  },
  compare: {
    description: 'tells whether a later result is better than an earlier one: tube by tube, and as a whole',
    load: async () => (await import('./verbs/compare.js')).addCompare,
  },
  preview: {
    description:
      'shows a scene as this array paints it: as measured, with the pull list replaced, and a perfect one',
    load: async () => (await import('./verbs/preview.js')).addPreview,
  },
  weigh: {
    description: 'sets work against what it brings: as it is, mended, finished, rebuilt; side by side',
    load: async () => (await import('./verbs/weigh.js')).addWeigh,
  },
  simulate: {
    description: 'makes the photos of a session by calculation, with session.yaml and the truth beside them',
    load: async () => (await import('./verbs/simulate.js')).addSimulate,
  },
  demo: {
    description: 'measures the demo session that comes with the checkout, and writes its report',
    load: async () => (await import('./verbs/demo.js')).addDemo,
  },
};

/** A usage error repeats what was typed, however long it is. */
const withShortWords = (text: string): string => text.replace(/\S{200,}/g, (word) => shortened(word));

/**
 * The command with all its verbs; only the one that is called is more than a name and a line of help. Usage errors are
 * thrown as CommanderError, after commander has shown them.
 *
 * @param args - the command line
 */
export async function twolamp(args: readonly string[], terminal: Terminal): Promise<Command> {
  const program = new Command('twolamp')
    .description(
      'An optical test bench for hand-built light-pipe arrays: how far two lamps stay separate, which tubes are faulty.',
    )
    .version(version)
    .exitOverride()
    .configureOutput({
      writeOut: terminal.out,
      writeErr: terminal.err,
      outputError: (text, write) => write(withShortWords(text)),
    });
  const called = args[0] === 'help' ? args[1] : args[0];
  for (const [name, { description, load }] of Object.entries(VERBS)) {
    const command = program.command(name).description(description);
    if (name === called) (await load())(command, terminal);
  }
  return program;
}
