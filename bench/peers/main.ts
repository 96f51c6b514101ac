import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { coverageTable } from './coverage.js';
import { judgePeer, rendererPython } from './render-peer.js';
import type { Judged } from './score-peer.js';

const HELP = `How far measured figures lie from the truth, over sessions of the second renderer.

node bench/dist/peers/main.js [--from SEED] [--sessions N] [--preset judged] [--set KEY=VALUE ...]

Seeds from 600 on are for judging; tune on others.
`;

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '600' },
    sessions: { type: 'string', default: '20' },
    preset: { type: 'string', default: 'judged' },
    set: { type: 'string', multiple: true, default: [] },
    help: { type: 'boolean', default: false },
  },
});

async function main(): Promise<void> {
  const python = rendererPython();
  if (python === null) throw new Error('needs Python with numpy and scipy, and ImageMagick');
  const judged: Judged[] = [];
  for (let n = 0; n < Number(values.sessions); n++) {
    const seed = Number(values.from) + n;
    const folder = await mkdtemp(join(tmpdir(), 'twolamp-peer-'));
    try {
      const one = await judgePeer(python, folder, seed, values.preset, values.set);
      console.error(`seed ${seed}: ${one.says}\n${coverageTable(one.judged)}`);
      judged.push(...one.judged);
    } finally {
      await rm(folder, { recursive: true });
    }
  }
  console.log(coverageTable(judged));
}

if (values.help) console.log(HELP);
else await main();
