import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { previewAgainstPhoto } from './agreement.js';
import { sceneSession, type Variant } from './draw-array.js';

const SEEDS = { square: 31, hexagonal: 32 } as const;
const VARIANTS: Variant[] = [true, false].flatMap((sweep) =>
  (['square', 'hexagonal'] as const).flatMap((arrangement) =>
    [0, 0.3, 0.8].flatMap((gloss) => [false, true].map((faults) => ({ arrangement, gloss, faults, sweep }))),
  ),
);

/** Sessions of 16 × 20 tubes with a scene, from seeds: preview against the photo of the scene. `KEEP`, a folder, keeps them. */
const keep = process.argv[2];
console.log('| array | gloss of walls | faults | sweep | correlation | photo as it is |');
console.log('|---|---|---|---|---|---|');
for (const variant of VARIANTS) {
  const { arrangement, gloss, faults, sweep } = variant;
  const name = [arrangement, gloss, faults ? 'faults' : 'sound', sweep ? 'sweep' : 'even'].join('-');
  const folder =
    keep === undefined ? await mkdtemp(join(tmpdir(), 'twolamp-preview-bench-')) : join(keep, name);
  const { correlation, rawCorrelation } = await previewAgainstPhoto(
    sceneSession(variant, SEEDS[arrangement]),
    folder,
  );
  const figures = [correlation, rawCorrelation].map((value) => value.toFixed(4)).join(' | ');
  console.log(
    `| ${arrangement} | ${gloss} | ${faults ? 'all kinds' : 'none'} | ${sweep ? 'yes' : 'no'} | ${figures} |`,
  );
  if (keep === undefined) await rm(folder, { recursive: true });
}
