import { basename, dirname, join, resolve } from 'node:path';
import { previewScene, type ScenePreview, type SpotPictures } from '@twolamp/preview';
import { NAMED_WALLS, seededRandom, type WallName } from '@twolamp/optics';
import { encodePng, readPhoto, thumbnail } from '@twolamp/photos';
import { previewPage } from '@twolamp/report';
import { doubtsOf, findingSentence, previewHeadlines } from '@twolamp/words';
import { type Command, Option } from 'commander';
import { Doubtful, tellDoubts } from '../doubtful.js';
import { openPipes } from '../files/open-result.js';
import { type Files, fillFolder } from '../files/output-folder.js';
import { fNumberOption, lengthOption, longTimeOption } from '../options.js';
import { pageSource } from '../page-source.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

/** Any seed does; a fixed one makes the same preview from the same result. */
const SEED = 1;
/** Of the scene on the page. */
const SCENE_WIDTH_PX = 1200;

const NAMES = [
  'preview.json',
  'preview.html',
  ...['as-measured', 'repaired', 'perfect'].flatMap((one) => [`${one}-positive.png`, `${one}-negative.png`]),
];

interface Options {
  readonly scene: string;
  readonly width: number;
  readonly distance: number;
  readonly lens?: number;
  readonly exposure?: number;
  readonly tubeWall?: WallName;
  readonly out?: string;
  readonly json?: true;
}

interface Print {
  readonly positive: Buffer;
  readonly negative: Buffer;
}

async function printOf({ positive, negative }: SpotPictures): Promise<Print> {
  return { positive: await encodePng(positive), negative: await encodePng(negative) };
}

const dataAddress = (type: string, bytes: Buffer) => `data:${type};base64,${bytes.toString('base64')}`;
const addresses = ({ positive, negative }: Print) => ({
  positive: dataAddress('image/png', positive),
  negative: dataAddress('image/png', negative),
});

async function previewFiles(
  { preview, pictures }: ScenePreview,
  scene: string,
  result: string,
  doubts: readonly string[],
): Promise<Files> {
  const asMeasured = await printOf(pictures.asMeasured);
  const repaired = await printOf(pictures.repaired);
  const perfect = await printOf(pictures.perfect);
  const small = await thumbnail(scene, SCENE_WIDTH_PX);
  return {
    'preview.json': `${JSON.stringify(preview, null, 2)}\n`,
    'preview.html': previewPage(
      preview,
      {
        scene: dataAddress('image/jpeg', small.jpeg),
        asMeasured: addresses(asMeasured),
        repaired: addresses(repaired),
        perfect: addresses(perfect),
      },
      pageSource(result, scene),
      doubts,
    ),
    'as-measured-positive.png': asMeasured.positive,
    'as-measured-negative.png': asMeasured.negative,
    'repaired-positive.png': repaired.positive,
    'repaired-negative.png': repaired.negative,
    'perfect-positive.png': perfect.positive,
    'perfect-negative.png': perfect.negative,
  };
}

export function addPreview(command: Command, terminal: Terminal): void {
  command
    .argument('<result>', 'result.json, or the folder that holds it')
    .requiredOption('--scene <photo>', 'photo of the scene, taken straight on')
    .requiredOption(
      '--width <length>',
      'how wide what the photo shows really is, for example 0.6m',
      lengthOption('sceneMm'),
    )
    .requiredOption(
      '--distance <length>',
      'from the front face to the scene, for example 1.5m',
      lengthOption('sceneMm'),
    )
    .option('--lens <f-number>', 'with --exposure: an exposure of this scene that you know', fNumberOption)
    .option('--exposure <time>', 'how long it took at that f-number, for example "3 min"', longTimeOption)
    .addOption(
      new Option('--tube-wall <wall>', 'where no sweep tells how wide the tubes see').choices(
        Object.keys(NAMED_WALLS),
      ),
    )
    .option('--out <folder>', 'folder for the preview (default: preview/ beside the result)')
    .option('--json', 'print the figures on stdout')
    .addHelpText(
      'after',
      exampleText(
        'preview my-array/measured/result.json --scene window.jpg --width 0.6m --distance 1.5m \\\n    --lens f/8 --exposure "3 min"',
      ),
    )
    .action(async (path: string, options: Options, command: Command) => {
      const { lens, exposure } = options;
      if ((lens === undefined) !== (exposure === undefined)) {
        command.error('error: --lens and --exposure go together');
      }
      const { file, result } = await openPipes(path);
      const folder = options.out ?? join(dirname(file), 'preview');
      const known =
        lens === undefined || exposure === undefined ? undefined : { fNumber: lens, exposureS: exposure };
      const doubts = doubtsOf([['', result]]);
      const drawn = await fillFolder(folder, NAMES, async ({ write }) => {
        const photo = await readPhoto(options.scene, { tone: 'srgb', channel: 'luminance' });
        const scene = previewScene(
          result,
          { name: basename(options.scene), photo, widthMm: options.width, distanceMm: options.distance },
          seededRandom(SEED),
          { wall: options.tubeWall, known },
        );
        await write(await previewFiles(scene, options.scene, file, doubts));
        return scene;
      });
      const notes = drawn.preview.findings.map((one) => `- ${findingSentence(one)}\n`).join('');
      tellDoubts(doubts, terminal);
      terminal.err(`${previewHeadlines(drawn.preview).join('\n')}\n${notes}`);
      terminal.err(`Preview: ${resolve(folder, 'preview.html')}\n`);
      if (options.json) terminal.out(`${JSON.stringify(drawn.preview)}\n`);
      if (result.doubtful) throw new Doubtful();
    });
}
