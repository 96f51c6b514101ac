import { join, resolve } from 'node:path';
import { seededRandom } from '@twolamp/optics';
import {
  type Design,
  designTable,
  type Plan,
  type PlannedList,
  type PlanRequest,
  planBench,
  planText,
  predictDesign,
  SESSION_FILES,
} from '@twolamp/plan';
import {
  type BenchPlace,
  benchView,
  cameraView,
  drawingPdf,
  drawingSvg,
  printableSheet,
} from '@twolamp/report';
import { CAUTIONS } from '@twolamp/words';
import {
  type ArraySpec,
  arrayFromFields,
  criterionFromText,
  readArray,
  unusualArray,
  writeSession,
} from '@twolamp/session';
import type { Command } from 'commander';
import { askAgain } from '../ask-again.js';
import { fileIn, refuseToReplace } from '../files/existing.js';
import { type Files, writeFolder } from '../files/output-folder.js';
import { readTextFile } from '../files/text-file.js';
import { exposureOption, fNumberOption, lengthOption } from '../options.js';
import { commandLine, exampleText } from '../command-line.js';
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

/** The option that gives a field. */
const optionOf = (path: readonly PropertyKey[]) => `--${path.map(String).join('.')}`;

/** A count given as an option; text that is no number stays as it is, to be refused by name. */
const counted = (text: string | undefined) =>
  text !== undefined && text.trim() !== '' && Number.isFinite(Number(text)) ? Number(text) : text;

/** Fields of which several values, with commas between them, make several designs. */
const DESIGN_FIELDS = ['tubeLength', 'tubeBore', 'tubeWall', 'backPitch', 'frontPitch'] as const;
const MOST_DESIGNS = 24;

/** The options of each design: every combination of the values given. */
function designsOf(options: Options): Options[] {
  return DESIGN_FIELDS.reduce<Options[]>(
    (designs, field) =>
      designs.flatMap((design) => {
        const values = design[field]?.split(',').map((value) => value.trim());
        return values === undefined ? [design] : values.map((value) => ({ ...design, [field]: value }));
      }),
    [options],
  );
}

async function arrayOf(options: Options): Promise<ArraySpec> {
  if (options.array !== undefined) {
    const file = await fileIn(options.array, 'session.yaml', 'plan.yaml');
    return readArray(await readTextFile(file, 'a file with an array block'), file);
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
    optionOf,
  );
}

async function requestOf(options: Options): Promise<PlanRequest> {
  const { lens, exposure } = options;
  return {
    array: await arrayOf(options),
    spacingMm: options.lamps,
    roomMm: options.room,
    criterion: criterionFromText(options.criterion, OPTIONS, optionOf),
    ...(lens === undefined || exposure === undefined
      ? {}
      : { known: { fNumber: lens, exposureS: exposure } }),
  };
}

/** Where the lamps of a planned list stand. */
function benchPlaces({ session }: PlannedList): BenchPlace[] {
  return session.shots.flatMap((shot) =>
    shot.kind === 'lamp' || shot.kind === 'pair'
      ? {
          acrossMm: shot.acrossMm!,
          upMm: shot.upMm!,
          distanceMm: shot.distanceMm!,
          spacingMm: shot.kind === 'pair' ? shot.spacingMm! : null,
        }
      : [],
  );
}

/** What the marks of the sheet are for. */
const SHEET_MARKS = [
  'Circles: the bores at the sheet, at true scale. Laid on the back of the array, it tells which bore is which.',
  'Crosses in circles: register marks, 10 mm outside the outermost bores. Lay one sheet on another by them.',
];

async function planFiles(plan: Plan, text: string): Promise<Files> {
  const { array } = plan.request;
  const sheet = printableSheet({
    array,
    title: `${array.name}: cells from the back`,
    from: 'back',
    marks: [],
    lines: SHEET_MARKS,
  });
  return {
    'plan.txt': text,
    'plan.json': `${JSON.stringify(plan, null, 2)}\n`,
    [SESSION_FILES.evening]: writeSession(plan.evening.session),
    [SESSION_FILES.thorough]: writeSession(plan.thorough.session),
    'bench.svg': drawingSvg(
      benchView({
        title: `${array.name}: the bench on the short evening`,
        tubeLengthMm: array.tubeLengthMm,
        places: benchPlaces(plan.evening),
      }),
    ),
    'camera.svg': drawingSvg(cameraView(array)),
    'sheet.svg': drawingSvg(sheet),
    'sheet.pdf': await drawingPdf(sheet),
  };
}

export function addPlan(command: Command, terminal: Terminal): void {
  command
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
    .option('--tube-length <length>', 'for example 190mm')
    .option('--tube-bore <length>', 'inner diameter, for example 3.2mm')
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
      exampleText(
        'plan --rows 24 --columns 30 --tube-length 190mm --tube-bore 3.2mm --back-pitch 3.7mm \\\n    --front-pitch 4.6mm --lamps 60mm --room 4m --lens f/8 --exposure 180s',
        'plan … --tube-length 150mm,190mm --tube-bore 2.6mm,3.2mm --lamps 60mm --room 4m',
      ),
    )
    .action(async (options: Options, command: Command) => {
      if ((options.lens === undefined) !== (options.exposure === undefined)) {
        command.error('error: --lens and --exposure go together');
      }
      const designs = designsOf(options);
      if (designs.length > MOST_DESIGNS) {
        command.error(`error: ${designs.length} designs; at most ${MOST_DESIGNS} at once`);
      }
      const where = options.array ?? OPTIONS;
      if (designs.length > 1) {
        const predicted: Design[] = [];
        for (const design of designs)
          predicted.push(predictDesign(await requestOf(design), seededRandom(SEED), where));
        const text = designTable(predicted);
        await writeFolder(options.out, {
          'designs.txt': text,
          'designs.json': `${JSON.stringify(predicted, null, 2)}\n`,
        });
        terminal.err(`${text}\nWritten to ${resolve(options.out)}: designs.txt, designs.json\n`);
        if (options.json) terminal.out(`${JSON.stringify(predicted)}\n`);
        return;
      }
      for (const name of Object.values(SESSION_FILES)) await refuseToReplace(join(options.out, name));
      const request = await requestOf(options);
      askAgain(unusualArray(request.array), terminal);
      const plan = planBench(request, seededRandom(SEED), where);
      const text = planText(plan, CAUTIONS);
      const files = await planFiles(plan, text);
      await writeFolder(options.out, files);
      terminal.err(
        `${planText(plan, CAUTIONS, 'evening')}\nWritten to ${resolve(options.out)}: ${Object.keys(files).join(', ')}\n` +
          `Shoot one of the lists in its order and put the photos into that folder. Then run: ${commandLine('begin', options.out)}\n`,
      );
      if (options.json) terminal.out(`${JSON.stringify(plan)}\n`);
    });
}
