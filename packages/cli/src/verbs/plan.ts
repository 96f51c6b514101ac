import { join, resolve } from 'node:path';
import { seededRandom } from '@twolamp/optics';
import { type Plan, type PlanRequest, planBench, planText } from '@twolamp/plan';
import { CAUTIONS, drawingPdf, drawingSvg, printableSheet } from '@twolamp/report';
import {
  type ArraySpec,
  arrayFromFields,
  criterionFromText,
  readArray,
  writeSession,
} from '@twolamp/session';
import type { Command } from 'commander';
import { refuseToReplace } from '../files/existing.js';
import { type Files, writeFolder } from '../files/output-folder.js';
import { readTextFile } from '../files/text-file.js';
import { exposureOption, fNumberOption, lengthOption } from '../options.js';
import type { Terminal } from '../terminal.js';

/** Any seed does; a fixed one makes the same plan from the same dimensions. */
const SEED = 1;
const OPTIONS = 'the options';

interface Options {
  readonly array?: string;
  readonly name: string;
  readonly arrangement: string;
  readonly shiftedRows?: string;
  readonly rows?: string;
  readonly columns?: string;
  readonly tubeLength?: string;
  readonly tubeBore?: string;
  readonly tubeWall?: string;
  readonly backPitch?: string;
  readonly frontPitch?: string;
  readonly lamps: number;
  readonly room: number;
  readonly criterion: string;
  readonly lens?: number;
  readonly exposure?: number;
  readonly out: string;
  readonly json?: true;
}

/** A count given as an option; text that is no number stays as it is, to be refused by name. */
const counted = (text: string | undefined) =>
  text !== undefined && text.trim() !== '' && Number.isFinite(Number(text)) ? Number(text) : text;

async function arrayOf(options: Options): Promise<ArraySpec> {
  if (options.array !== undefined) {
    return readArray(await readTextFile(options.array, 'a file with an array block'), options.array);
  }
  return arrayFromFields(
    {
      name: options.name,
      arrangement: options.arrangement,
      'shifted-rows': options.shiftedRows,
      rows: counted(options.rows),
      columns: counted(options.columns),
      'tube-length': options.tubeLength,
      'tube-bore': options.tubeBore,
      'tube-wall': options.tubeWall,
      'back-pitch': options.backPitch,
      'front-pitch': options.frontPitch,
    },
    OPTIONS,
  );
}

async function planFiles(plan: Plan, text: string): Promise<Files> {
  const { array } = plan.request;
  const sheet = printableSheet({
    array,
    title: `${array.name}: cells from the back`,
    from: 'back',
    marks: [],
  });
  return {
    'plan.txt': text,
    'plan.json': `${JSON.stringify(plan, null, 2)}\n`,
    'session.yaml': writeSession(plan.session),
    'sheet.svg': drawingSvg(sheet),
    'sheet.pdf': await drawingPdf(sheet),
  };
}

export function addPlan(program: Command, terminal: Terminal): void {
  program
    .command('plan')
    .description(
      'predicts what an array will see and how much light it passes, and writes what to shoot: plan.txt, ' +
        'session.yaml and a sheet to print',
    )
    .requiredOption(
      '--lamps <spacing>',
      'between the two lamps at hand, for example 60mm',
      lengthOption('lampSpacingMm'),
    )
    .requiredOption(
      '--room <length>',
      'farthest place of a lamp from the front face, for example 4m',
      lengthOption('lampDistanceMm'),
    )
    .option('--array <file>', 'file with an array block, for example a session.yaml, instead of dimensions')
    .option('--name <name>', 'name of the array', 'Planned array')
    .option('--arrangement <arrangement>', 'square or hexagonal', 'square')
    .option('--shifted-rows <rows>', 'hexagonal only: odd or even rows sit half a pitch to the right')
    .option('--rows <count>', 'rows of tubes')
    .option('--columns <count>', 'tubes in a row')
    .option('--tube-length <length>', 'for example 150mm')
    .option('--tube-bore <length>', 'inner diameter, for example 2.6mm')
    .option('--tube-wall <wall>', 'glossy black or matte black, where known')
    .option('--back-pitch <length>', 'centre to centre at the sheet')
    .option('--front-pitch <length>', 'centre to centre at the front grid')
    .option('--criterion <criterion>', 'rayleigh, sparrow or the least dip, 0 to 1', 'rayleigh')
    .option(
      '--lens <f-number>',
      'with --exposure: an exposure of the same scene that you know',
      fNumberOption,
    )
    .option('--exposure <time>', 'how long it took at that f-number, for example 180s', exposureOption)
    .option('--out <folder>', 'folder for the plan', 'plan')
    .option('--json', 'print the plan on stdout')
    .addHelpText(
      'after',
      '\nExample:\n  twolamp plan --rows 24 --columns 30 --tube-length 150mm --tube-bore 2.6mm --back-pitch 3mm \\\n' +
        '    --front-pitch 4.2mm --lamps 60mm --room 4m --lens f/8 --exposure 180s\n',
    )
    .action(async (options: Options, command: Command) => {
      const { lens, exposure } = options;
      if ((lens === undefined) !== (exposure === undefined)) {
        command.error('error: --lens and --exposure go together');
      }
      const request: PlanRequest = {
        array: await arrayOf(options),
        spacingMm: options.lamps,
        roomMm: options.room,
        criterion: criterionFromText(options.criterion, OPTIONS),
        ...(lens === undefined || exposure === undefined
          ? {}
          : { known: { fNumber: lens, exposureS: exposure } }),
      };
      await refuseToReplace(join(options.out, 'session.yaml'));
      const plan = planBench(request, seededRandom(SEED), options.array ?? OPTIONS);
      const text = planText(plan, CAUTIONS);
      await writeFolder(options.out, await planFiles(plan, text));
      terminal.err(
        `${text}\nWritten to ${resolve(options.out)}: plan.txt, plan.json, session.yaml, sheet.svg, sheet.pdf\n`,
      );
      if (options.json) terminal.out(`${JSON.stringify(plan)}\n`);
    });
}
