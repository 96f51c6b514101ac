import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { measureSurvey } from '@twolamp/measure';
import { coverageTable } from './coverage.js';
import { lightSessions } from './light-sessions.js';
import { judgePeer, rendererPython } from './render-peer.js';
import { type Judged, scorePeer } from './score-peer.js';

const HELP = `How far measured figures lie from the truth, over sessions of the second renderer.

node bench/dist/peers/main.js [--from SEED] [--sessions N] [--preset judged] [--set KEY=VALUE ...]
node bench/dist/peers/main.js --lights [--from SEED] [--sessions N] [--set KEY=VALUE ...]

--lights takes the light of the cells without photos (lights.py, preset quick, seeds from 1000 on for judging). Seeds from 600 on are for judging; tune on others.
`;

const { values } = parseArgs({
  options: {
    from: { type: 'string', default: '600' },
    sessions: { type: 'string', default: '20' },
    preset: { type: 'string', default: 'judged' },
    lights: { type: 'boolean', default: false },
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
    if (values.lights) {
      const [{ session, survey, truth }] = await lightSessions(python, seed, 1, values.set);
      judged.push(...scorePeer(truth, measureSurvey(session, survey).result));
      continue;
    }
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
