import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { correlation, previewAgainstPhoto } from './agreement.js';
import { sceneSession, type Variant } from './draw-array.js';

const HELP = `Previews against photos of the same scene through the same tubes, cell by cell; the table goes to stdout.

node bench/dist/preview/main.js [--keep FOLDER]
`;

const SIZE = { rows: 16, columns: 20 };
const SEEDS = { square: 31, hexagonal: 32 } as const;
const VARIANTS: Variant[] = [true, false].flatMap((sweep) =>
  (['square', 'hexagonal'] as const).flatMap((arrangement) =>
    [0, 0.3, 0.8].flatMap((gloss) => [false, true].map((faults) => ({ arrangement, gloss, faults, sweep }))),
  ),
);

async function lineOf(variant: Variant, folder: string): Promise<string> {
  const { arrangement, gloss, faults, sweep } = variant;
  const plan = sceneSession(variant, SIZE, SEEDS[arrangement]);
  const { preview, photographed } = await previewAgainstPhoto(plan, folder);
  const previewed = preview.tubes.map(({ asMeasured }) => asMeasured);
  const cells = [
    sweep ? 'sweep' : 'even light alone',
    arrangement,
    gloss,
    faults ? 'all kinds' : 'none',
    correlation(previewed, photographed.asItIs).toFixed(4),
    correlation(previewed, photographed.overTrend).toFixed(4),
  ];
  return `| ${cells.join(' | ')} |`;
}

async function printTable(keep: string | undefined): Promise<void> {
  console.log(
    '| measured | array | gloss of walls | faults | photo as it is | over the trend of the even shots |',
  );
  console.log('|---|---|---|---|---|---|');
  for (const [number, variant] of VARIANTS.entries()) {
    const folder =
      keep === undefined
        ? await mkdtemp(join(tmpdir(), 'twolamp-preview-bench-'))
        : join(keep, String(number));
    console.log(await lineOf(variant, folder));
    if (keep === undefined) await rm(folder, { recursive: true });
  }
}

const { values } = parseArgs({
  options: { keep: { type: 'string' }, help: { type: 'boolean', default: false } },
});
if (values.help) console.log(HELP);
else await printTable(values.keep);
