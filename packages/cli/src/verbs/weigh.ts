import { basename, dirname, join, resolve } from 'node:path';
import { previewScene, type Rebuild, rebuiltArray, weighResult } from '@twolamp/preview';
import { seededRandom } from '@twolamp/optics';
import { encodePng, readPhoto } from '@twolamp/photos';
import { weighingPage } from '@twolamp/report';
import { doubtsOf, worthSentence } from '@twolamp/words';
import { arrayMisfits, FIELD_NAMES, InputError, type Result, type Weighing } from '@twolamp/session';
import { type Command, InvalidArgumentError, Option } from 'commander';
import { Doubtful, tellDoubts } from '../doubtful.js';
import { openPipes } from '../files/open-result.js';
import { fillFolder } from '../files/output-folder.js';
import { fNumberOption, lengthOption, longTimeOption } from '../options.js';
import { pageSource } from '../page-source.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

/** Any seed does; a fixed one weighs the same result the same way. */
const SEED = 1;

const PICTURES = {
  'as it is': 'as-it-is.png',
  mended: 'mended.png',
  finished: 'finished.png',
  'finished and mended': 'finished-and-mended.png',
} as const;

interface Options {
  readonly subject?: number;
  readonly at?: number;
  readonly scene?: string;
  readonly width?: number;
  readonly distance?: number;
  readonly lens?: number;
  readonly exposure?: number;
  readonly minutes?: number;
  readonly bore?: number;
  readonly length?: number;
  readonly backPitch?: number;
  readonly frontPitch?: number;
  readonly walls?: 'matte';
  readonly out?: string;
  readonly json?: true;
}

function minutesOption(text: string): number {
  const minutes = Number(text);
  if (!(minutes > 0 && minutes <= 600)) throw new InvalidArgumentError('Expected minutes, up to 600.');
  return minutes;
}

function rebuildOf({ bore, length, backPitch, frontPitch, walls }: Options): Rebuild | null {
  if ([bore, length, backPitch, frontPitch, walls].every((one) => one === undefined)) return null;
  return {
    boreMm: bore,
    lengthMm: length,
    backPitchMm: backPitch,
    frontPitchMm: frontPitch,
    matteWalls: walls === 'matte',
  };
}

/** @throws InputError where the new dimensions don't fit each other and the present ones */
function requireFitting(array: Result['array'], rebuild: Rebuild | null): void {
  const [misfit] = rebuild === null ? [] : arrayMisfits(rebuiltArray(array, rebuild));
  if (misfit)
    throw new InputError(
      'the rebuilt array',
      `its ${FIELD_NAMES[misfit.field]} does not fit`,
      misfit.expected,
    );
}

/** The scene as each way would paint it, as PNG by file name. */
async function picturesOf(
  result: Result,
  finished: Result | null,
  { scene, width, distance }: Options,
): Promise<Map<string, Buffer>> {
  const pictures = new Map<string, Buffer>();
  if (scene === undefined || width === undefined || distance === undefined) return pictures;
  const photo = await readPhoto(scene, { tone: 'srgb', channel: 'luminance' });
  const draw = (of: Result) =>
    previewScene(
      of,
      { name: basename(scene), photo, widthMm: width, distanceMm: distance },
      seededRandom(SEED),
    ).pictures;
  const now = draw(result);
  pictures.set(PICTURES['as it is'], await encodePng(now.asMeasured.positive));
  if (result.pull.length > 0) pictures.set(PICTURES.mended, await encodePng(now.repaired.positive));
  if (finished === null) return pictures;
  const then = draw(finished);
  pictures.set(PICTURES.finished, await encodePng(then.asMeasured.positive));
  if (result.pull.length > 0)
    pictures.set(PICTURES['finished and mended'], await encodePng(then.repaired.positive));
  return pictures;
}

export function addWeigh(command: Command, terminal: Terminal): void {
  command
    .argument('<result>', 'result.json, or the folder that holds it')
    .option('--subject <length>', 'with --at: width of what you want to picture', lengthOption('sceneMm'))
    .option('--at <length>', 'its distance from the front face', lengthOption('sceneMm'))
    .option('--scene <photo>', 'with --width and --distance: a scene to preview, taken straight on')
    .option('--width <length>', 'how wide what the photo shows really is', lengthOption('sceneMm'))
    .option('--distance <length>', 'from the front face to the scene', lengthOption('sceneMm'))
    .option('--lens <f-number>', 'with --exposure: an exposure that you know', fNumberOption)
    .option('--exposure <time>', 'how long it took at that f-number, for example "3 min"', longTimeOption)
    .option('--minutes <count>', 'your minutes per tube (default: as in session.yaml, else 2)', minutesOption)
    .option('--bore <length>', 'rebuilt with this bore', lengthOption('tubeBoreMm'))
    .option('--length <length>', 'rebuilt with this tube length', lengthOption('tubeLengthMm'))
    .option(
      '--back-pitch <length>',
      'rebuilt with the tubes this far apart at the sheet (default: as the bore asks)',
      lengthOption('pitchMm'),
    )
    .option('--front-pitch <length>', 'rebuilt with this front pitch', lengthOption('pitchMm'))
    .addOption(new Option('--walls <walls>', 'rebuilt with matte walls').choices(['matte']))
    .option('--out <folder>', 'folder for the weighing (default: weighed/ beside the result)')
    .option('--json', 'print the figures on stdout')
    .addHelpText(
      'after',
      exampleText('weigh my-array/measured/result.json --subject 0.5m --at 2m --walls matte'),
    )
    .action(async (path: string, options: Options, command: Command) => {
      const together = (...names: (keyof Options)[]) => {
        const given = names.filter((name) => options[name] !== undefined).length;
        if (given > 0 && given < names.length)
          command.error(`error: ${names.map((name) => `--${name}`).join(', ')} go together`);
      };
      together('subject', 'at');
      together('scene', 'width', 'distance');
      together('lens', 'exposure');
      const { file, result } = await openPipes(path);
      const folder = options.out ?? join(dirname(file), 'weighed');
      const { subject, at, lens, exposure } = options;
      const rebuild = rebuildOf(options);
      requireFitting(result.array, rebuild);
      const doubts = doubtsOf([['', result]]);
      let generators = SEED;
      const names = ['weigh.json', 'weigh.html', ...Object.values(PICTURES)];
      const weighing = await fillFolder(folder, names, async ({ write }) => {
        const weighed = weighResult(
          result,
          {
            subject: subject === undefined || at === undefined ? null : { widthMm: subject, distanceMm: at },
            known:
              lens === undefined || exposure === undefined ? null : { fNumber: lens, exposureS: exposure },
            minutesPerTube: options.minutes ?? null,
            rebuild,
          },
          () => seededRandom(generators++),
        );
        const pictures = await picturesOf(result, weighed.finished, options);
        const ways = weighed.weighing.ways.map((way) => {
          const name = PICTURES[way.way as keyof typeof PICTURES];
          return { ...way, preview: pictures.has(name) ? name : null };
        });
        const whole: Weighing = { ...weighed.weighing, ways };
        const addresses = new Map(
          [...pictures].map(([name, png]) => [name, `data:image/png;base64,${png.toString('base64')}`]),
        );
        await write({
          'weigh.json': `${JSON.stringify(whole, null, 2)}\n`,
          'weigh.html': weighingPage(whole, addresses, pageSource(file), doubts),
          ...Object.fromEntries(pictures),
        });
        return whole;
      });
      tellDoubts(doubts, terminal);
      terminal.err(`${worthSentence(weighing)}\nWeighing: ${resolve(folder, 'weigh.html')}\n`);
      if (options.json) terminal.out(`${JSON.stringify(weighing)}\n`);
      if (result.doubtful) throw new Doubtful();
    });
}
